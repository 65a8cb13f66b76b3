"""Sittings fixed by hand: where they stand, elsewhere, and let go again."""

from functools import partial

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect
from django.urls import reverse
from django.utils import timezone
from django.views.decorators.http import require_http_methods, require_POST

from schedule.domain.fixing import fix_sitting, keep_pin, let_go, still_there
from schedule.domain.hours import windows_of
from schedule.domain.pins import is_outside_hours
from schedule.forms import PinForm
from schedule.models import Pin, PlannedSitting
from schedule.views.bench import tap
from studio.access import own
from studio.formats import local, show_when
from studio.pages import counts_once, do_and_go, record_page
from studio.refusal import Refused


def _agenda() -> str:
    return reverse("programme") + "#agenda-head"


@require_POST
def sitting_fix(request: HttpRequest, pk: int) -> HttpResponse:
    row, now = own(request, PlannedSitting, pk=pk), timezone.now()

    def act() -> str:
        seen = request.POST.get("seen", "")
        fix_sitting(row, seen=int(seen) if seen.isdecimal() else -1, now=now)
        when = show_when(row.start, request.studio, now=now)
        return f"{row.stage.panel.title}, {row.title.lower()}: fixed, {when}."

    return tap(request, act, back=_agenda())


@require_http_methods(["GET", "POST"])
def sitting_move(request: HttpRequest, pk: int) -> HttpResponse:
    row = own(request, PlannedSitting, pk=pk)
    try:
        still_there(row)
    except Refused as refusal:
        messages.error(request, refusal.sentence)
        return redirect(_agenda())
    kept = Pin.objects.filter(stage=row.stage, coat=row.coat, start=row.start).first()
    return _move_page(request, kept or Pin.of(row))


@require_http_methods(["GET", "POST"])
@counts_once
def pin_move(request: HttpRequest, pk: int) -> HttpResponse:
    return _move_page(request, own(request, Pin, pk=pk))


def _move_page(request: HttpRequest, pin: Pin) -> HttpResponse:
    now = timezone.now()

    def caution(kept: Pin) -> str:
        first = local(kept.start, request.studio).date()
        windows = windows_of(request.studio, [kept.person], first=first)[kept.person_id]
        if is_outside_hours(kept, windows):
            return "Mind: it lies outside the working hours, and is planned there all the same."
        return ""

    return record_page(
        request,
        PinForm,
        pin,
        title=f"Fix a sitting: {pin.stage.panel.title}",
        back=_agenda(),
        keep=partial(keep_pin, now=now),
        more_said=caution,
        template="schedule/pin.html",
        context={"pin": pin},
    )


@require_POST
@counts_once
def pin_let_go(request: HttpRequest, pk: int) -> HttpResponse:
    pin = own(request, Pin, pk=pk)
    done = f"{pin.stage.panel.title}, {pin.title.lower()}: the programme may move it again."
    return do_and_go(request, partial(let_go, pin), done=done, go=_agenda())
