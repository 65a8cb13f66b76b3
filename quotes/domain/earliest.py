"""The earliest day that may honestly be promised for an enquiry, before it is priced."""

from dataclasses import dataclass, replace
from datetime import date, datetime

from jobs.domain.guesses import Guess, measure_roughly
from jobs.models import Commission, Panel
from quotes.domain.promise import Promise, promise_of
from schedule.domain.scratch import (
    Change,
    Foretold,
    as_it_stands,
    as_it_would_be,
    foretell,
    foretell_alone,
)
from studio.models import Studio


@dataclass(frozen=True)
class Earliest:
    """What may be promised of an enquiry, accepted now.

    `day` is the first that is kept in at least `in_hundred` of 100 cases; None where none can be
    promised. `alone` is the same if it were the only work there is, told where the day wanted comes
    before `day`. `bare` are its panels without a method, which are not counted.
    """

    promise: Promise
    day: date | None
    in_hundred: int
    alone: date | None
    bare: tuple[Panel, ...] = ()
    guess: Guess | None = None


def earliest_for(
    commission: Commission, *, now: datetime, guess: Guess | None = None
) -> Earliest | None:
    """Return what may be promised of an enquiry; None where there is nothing to plan yet.

    `guess` stands in for panels nobody measured. Raises Refused where its sheet has no stages.
    """
    panels = Panel.objects.of(commission.studio).filter(surface__piece__commission=commission)
    panels = list(panels.select_related("surface").prefetch_related("stages"))
    bare = tuple(panel for panel in panels if not panel.stages.all())
    if guess:
        scratch = as_it_would_be(commission.studio, guessed(commission, guess), now=now)
    elif len(bare) < len(panels):
        scratch = as_it_stands(commission.studio, now=now, also=commission)
    else:
        return None
    return replace(_earliest(commission, foretell(scratch)), bare=bare, guess=guess)


def guessed(commission: Commission, guess: Guess) -> Change:
    """Return the change that gives a commission its guessed panels."""

    def change(studio: Studio) -> Commission:
        fresh = Commission.objects.of(studio).select_related("client").get(pk=commission.pk)
        measure_roughly(fresh, guess)
        return fresh

    return change


def _earliest(commission: Commission, foretold: Foretold) -> Earliest:
    promise, studio = promise_of(commission, foretold), commission.studio
    day, alone = _surely_enough(promise, studio), None
    if commission.wanted and day and commission.wanted < day:
        alone = _surely_enough(promise_of(commission, foretell_alone(foretold, commission)), studio)
    return Earliest(promise, day, studio.dry_enough, alone)


def _surely_enough(promise: Promise, studio: Studio) -> date | None:
    """Return the first day that is kept as often as she wants a coat dry that she counts on."""
    return next((day for chance, day in promise.curve if chance >= studio.dry_enough / 100), None)
