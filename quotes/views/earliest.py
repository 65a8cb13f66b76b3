"""The earliest honest day for an enquiry: a part of the commission's page, and a page by itself."""

from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.utils import timezone
from django.views.decorators.http import require_GET

from jobs.models import Commission
from quotes.domain.earliest import earliest_for
from quotes.forms import RoughForm
from quotes.pictures import promise_curve
from studio.access import own
from studio.pages import UNPROCESSABLE


@require_GET
def earliest(request: HttpRequest, number: int) -> HttpResponse:
    commission, now = own(request, Commission, number=number), timezone.now()
    form = RoughForm(request.studio, data=request.GET or None, auto_id="rough_%s")
    guess = form.guess if form.is_valid() else None
    asked = not commission.in_hand and commission.state != Commission.State.DELIVERED
    found = earliest_for(commission, now=now, guess=guess) if asked and not form.errors else None
    page = {
        "commission": commission,
        "asked": asked,
        "form": form,
        "earliest": found,
        "curve": promise_curve(found.promise, request.studio, commission.wanted) if found else None,
        "any_sheet": form.fields["sheet"].queryset.exists(),
    }
    template = "quotes/earliest.html#section" if request.htmx else "quotes/earliest.html"
    # A fragment that answers otherwise than 200 is not put into the page.
    status = UNPROCESSABLE if form.errors and not request.htmx else 200
    return render(request, template, page, status=status)
