"""The studio's own page: how it counts, when it works, who belongs to it."""

from contextlib import suppress
from datetime import date, time
from functools import partial

from django.contrib import messages
from django.contrib.auth import update_session_auth_hash
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.urls import reverse
from django.utils import timezone
from django.views.decorators.http import require_GET, require_http_methods, require_POST

from studio.access import own
from studio.domain.people import keep_person, remove_person, renew_feed_link
from studio.domain.room import keep_studio
from studio.formats import local
from studio.forms import StudioSettingsForm
from studio.models import DatedHours, DayOff, Person, WorkingWindow
from studio.pages import counts_once, form_page, record_page, remove_page
from studio.working_forms import DatedHoursForm, DayOffForm, PersonForm, WorkingWindowForm


@require_GET
def business(request: HttpRequest) -> HttpResponse:
    studio = request.studio
    today = local(timezone.now(), studio).date()
    page = {
        "windows": studio.windows.all(),
        "days_off": studio.days_off.all(),
        "dated_hours": studio.dated_hours.filter(day__gte=today).select_related("person"),
        "people": studio.people.all(),
        "feed_url": request.build_absolute_uri(reverse("feed", args=[studio.feed_secret])),
    }
    return render(request, "studio/business.html", page)


@require_http_methods(["GET", "POST"])
def business_edit(request: HttpRequest) -> HttpResponse:
    return record_page(
        request,
        StudioSettingsForm,
        request.studio,
        title="Your studio",
        back=reverse("business"),
        keep=partial(keep_studio, now=timezone.now()),
    )


@require_http_methods(["GET", "POST"])
def window_edit(request: HttpRequest, pk: int | None = None) -> HttpResponse:
    if pk is not None:
        record = own(request, WorkingWindow, pk=pk)
    else:
        record = WorkingWindow(studio=request.studio, weekday=0, start=time(9), end=time(13))
    return record_page(
        request, WorkingWindowForm, record, title="Working hours", back=reverse("business")
    )


@require_http_methods(["GET", "POST"])
@counts_once
def window_remove(request: HttpRequest, pk: int) -> HttpResponse:
    record, back = own(request, WorkingWindow, pk=pk), reverse("business")
    return remove_page(request, record, back=back, go=back)


@require_http_methods(["GET", "POST"])
def day_off_edit(request: HttpRequest, pk: int | None = None) -> HttpResponse:
    record = own(request, DayOff, pk=pk) if pk is not None else DayOff(studio=request.studio)
    return record_page(request, DayOffForm, record, title="Days off", back=reverse("business"))


@require_http_methods(["GET", "POST"])
@counts_once
def day_off_remove(request: HttpRequest, pk: int) -> HttpResponse:
    record, back = own(request, DayOff, pk=pk), reverse("business")
    return remove_page(request, record, back=back, go=back)


@require_http_methods(["GET", "POST"])
def dated_hours_edit(request: HttpRequest, pk: int | None = None) -> HttpResponse:
    if pk is not None:
        record = own(request, DatedHours, pk=pk)
    else:
        record = DatedHours(studio=request.studio)
    return record_page(
        request, DatedHoursForm, record, title="Hours of one day", back=reverse("business")
    )


@require_http_methods(["GET", "POST"])
@counts_once
def dated_hours_remove(request: HttpRequest, pk: int) -> HttpResponse:
    record, back = own(request, DatedHours, pk=pk), reverse("business")
    return remove_page(request, record, back=back, go=back)


@require_http_methods(["GET", "POST"])
def person_edit(request: HttpRequest, pk: int | None = None) -> HttpResponse:
    person = own(request, Person, pk=pk) if pk is not None else _new_person(request)
    back = reverse("business")

    def save(form: PersonForm) -> str:
        password = form.cleaned_data["password"]
        kept = keep_person(
            form.save(commit=False), password=password, by=request.user, seen_version=form.seen
        )
        if password and kept == request.user:
            update_session_auth_hash(request, kept)
        return back

    def make_form(**data) -> PersonForm:
        return PersonForm(request.studio, instance=person, **data)

    return form_page(request, make_form, save, title="Someone of the studio", back=back)


def _new_person(request: HttpRequest) -> Person:
    """Return a person to be written down, with the days of painting that the address says."""
    person = Person(studio=request.studio)
    for name in ("paints_from", "paints_until"):
        with suppress(ValueError):
            setattr(person, name, date.fromisoformat(request.GET.get(name, "")))
            # A helper for some days seldom signs in.
            person.is_active = False
    return person


@require_http_methods(["GET", "POST"])
@counts_once
def person_remove(request: HttpRequest, pk: int) -> HttpResponse:
    person, back = own(request, Person, pk=pk), reverse("business")
    remove = partial(remove_person, by=request.user)
    return remove_page(request, person, back=back, go=back, remove=remove)


@require_POST
def feed_renew(request: HttpRequest) -> HttpResponse:
    renew_feed_link(request.studio)
    messages.success(request, "The old calendar link no longer works; subscribe to the new one.")
    return redirect("business")
