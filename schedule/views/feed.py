"""The calendar feed behind its secret address."""

from hashlib import sha256

from django.contrib.auth.decorators import login_not_required
from django.http import Http404, HttpRequest, HttpResponse
from django.utils.cache import get_conditional_response
from django.utils.http import quote_etag
from django.views.decorators.http import require_GET

from schedule.feed import studio_feed
from studio.models import Studio


@login_not_required
@require_GET
def feed(request: HttpRequest, secret: str) -> HttpResponse:
    studio = None if "\x00" in secret else Studio.objects.filter(feed_secret=secret).first()
    if studio is None:
        raise Http404
    body = studio_feed(studio)
    answer = HttpResponse(body, content_type="text/calendar; charset=utf-8")
    answer["Cache-Control"] = "private, no-cache"
    answer["Referrer-Policy"] = "no-referrer"
    # By its content, not by when the plan moved: a panel's new name must reach the calendar too.
    answer["ETag"] = etag = quote_etag(sha256(body).hexdigest())
    return get_conditional_response(request, etag=etag, response=answer)
