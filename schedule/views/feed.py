"""The calendar feed behind its secret address."""

from django.contrib.auth.decorators import login_not_required
from django.http import Http404, HttpRequest, HttpResponse
from django.views.decorators.http import condition, require_GET

from schedule.feed import feed_changed, studio_feed
from studio.models import Studio


def _studio(secret: str) -> Studio:
    try:
        return Studio.objects.get(feed_secret=secret)
    except Studio.DoesNotExist as error:
        raise Http404 from error


def _changed(request: HttpRequest, secret: str):
    return feed_changed(_studio(secret))


@login_not_required
@require_GET
@condition(last_modified_func=_changed)
def feed(request: HttpRequest, secret: str) -> HttpResponse:
    answer = HttpResponse(studio_feed(_studio(secret)), content_type="text/calendar; charset=utf-8")
    answer["Cache-Control"] = "private, no-cache"
    answer["Referrer-Policy"] = "no-referrer"
    return answer
