"""The bench, and its three taps: begin, end, touch."""

from collections.abc import Callable

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.utils import timezone
from django.utils.http import url_has_allowed_host_and_scheme
from django.views.decorators.http import require_GET, require_POST
from django.views.decorators.vary import vary_on_headers

from jobs.domain.work import record_touch_test, start_sitting, stop_sitting, touch_told
from jobs.models import Sitting, Stage, TouchTest
from schedule.domain.bench import bench_of
from schedule.domain.fixing import pins_amiss, untold
from schedule.domain.moves import news_of
from schedule.domain.programme import fresh_programme
from studio.access import own
from studio.pages import do_once
from studio.refusal import Refused


@require_GET
@vary_on_headers("HX-Request")
def bench(request: HttpRequest) -> HttpResponse:
    now = timezone.now()
    programme = fresh_programme(request.studio, now=now)
    shown, amiss = bench_of(request.studio, now=now), pins_amiss(programme, now=now)
    page = {
        "bench": shown,
        "at_work": any(sitting.person_id == request.user.pk for sitting, _ in shown.running),
        "programme": programme,
        "news": news_of(programme, now=now),
        "now": now,
        "amiss": amiss,
        "troubles": untold(programme, amiss),
        "any_commission": request.studio.commissions.exists(),
    }
    template = "schedule/bench.html#list" if request.htmx else "schedule/bench.html"
    return render(request, template, page)


def _back(request: HttpRequest, otherwise: str) -> HttpResponse:
    """Return to the page the tap came from, if it is one of ours."""
    there = request.POST.get("next", "")
    if url_has_allowed_host_and_scheme(there, allowed_hosts=None) and there.startswith("/"):
        return redirect(there)
    return redirect(otherwise)


def tap(request: HttpRequest, act: Callable[[], str], *, back: str = "bench") -> HttpResponse:
    """Do what a button says, once, tell what was done or why not, and go back."""
    try:
        said, new = do_once(request, act)
        if new:
            messages.success(request, said)
        else:
            messages.info(request, "That tap was counted already. This is how it stands now.")
    except Refused as refusal:
        messages.error(request, refusal.sentence)
    return _back(request, back)


@require_POST
def sitting_start(request: HttpRequest, pk: int) -> HttpResponse:
    stage = own(request, Stage, pk=pk)

    def act() -> str:
        anyway = request.POST.get("anyway") == "1"
        start_sitting(stage, person=request.user, at=timezone.now(), anyway=anyway)
        return f"Begun: {stage.panel.name}, {stage.name.lower()}."

    return tap(request, act)


@require_POST
def sitting_stop(request: HttpRequest, pk: int) -> HttpResponse:
    sitting = own(request, Sitting, pk=pk)

    def act() -> str:
        finished = request.POST.get("finishes_coat") == "1"
        note = request.POST.get("note", "").replace("\x00", "").strip()[:2000]
        stop_sitting(sitting, at=timezone.now(), finishes_coat=finished, note=note)
        name = sitting.stage.panel.name
        return f"{name}: the coat is finished." if finished else f"{name}: paused."

    return tap(request, act)


@require_POST
def touch_test(request: HttpRequest, pk: int) -> HttpResponse:
    stage = own(request, Stage, pk=pk)

    def act() -> str:
        result, coat = request.POST.get("result", ""), request.POST.get("coat", "")
        if result not in TouchTest.Result.values or not coat.isdecimal() or len(coat) > 3:
            raise Refused("Say what the finger found: wet, tacky, touch-dry or dry all through.")
        now = timezone.now()
        test = record_touch_test(stage, coat=int(coat), result=result, by=request.user, at=now)
        return touch_told(test, now=now)

    return tap(request, act)
