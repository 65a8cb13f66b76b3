"""The strip that follows the long search, and its buttons: begin, and end here."""

from dataclasses import dataclass
from datetime import datetime

from django.conf import settings
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.utils import timezone
from django.views.decorators.http import require_POST

from schedule.domain.programme import fresh_programme
from schedule.domain.weaving import ask_to_stop, begin, weaving_of, won_words
from schedule.models import Programme, Weaving

STRIP = "schedule/weaving.html"


@dataclass(frozen=True)
class Strip:
    """How the long search stands: `alive`, `dead`, or as it ended; `anew` where the work is another
    than was woven, `back` where it was another in between, and `won` what weaving won, in words."""

    weaving: Weaving | None
    alive: bool
    dead: bool
    anew: bool
    back: bool
    won: str
    on: bool


def strip_of(made: Programme, *, now: datetime) -> Strip:
    """Return how the long search of a programme stands."""
    weaving = weaving_of(made.studio)
    return Strip(
        weaving,
        alive=weaving is not None and weaving.alive_at(now),
        dead=weaving is not None and weaving.dead_at(now),
        anew=made.woven != made.work,
        back=bool(weaving and made.changed_at and made.changed_at > weaving.beat_at),
        won=won_words(weaving.days_won, weaving.late_won) if weaving else "",
        on=settings.WEAVING,
    )


@require_POST
def weave_begin(request: HttpRequest) -> HttpResponse:
    begin(request.studio, now=timezone.now(), calm=False)
    return _answer(request)


@require_POST
def weave_stop(request: HttpRequest) -> HttpResponse:
    ask_to_stop(request.studio)
    return _answer(request)


def _answer(request: HttpRequest) -> HttpResponse:
    if not request.htmx:
        return redirect("programme")
    now = timezone.now()
    strip = strip_of(fresh_programme(request.studio, now=now), now=now)
    return render(request, STRIP, {"strip": strip})
