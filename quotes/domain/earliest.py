"""The earliest day that may honestly be promised for an enquiry, before it is priced."""

from dataclasses import dataclass
from datetime import datetime

from jobs.domain.guesses import Guess, measure_roughly
from jobs.models import Commission, Panel
from quotes.domain.promise import Promise, promise_of
from schedule.domain.scratch import Change, as_it_stands, as_it_would_be, foretell
from studio.models import Studio


@dataclass(frozen=True)
class Earliest:
    """What may be promised of an enquiry, accepted now.

    `bare` are its panels without a method, which are not counted.
    """

    promise: Promise
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
    return Earliest(promise_of(commission, foretell(scratch)), bare, guess)


def guessed(commission: Commission, guess: Guess) -> Change:
    """Return the change that gives a commission its guessed panels."""

    def change(studio: Studio) -> Commission:
        fresh = Commission.objects.of(studio).select_related("client").get(pk=commission.pk)
        measure_roughly(fresh, guess)
        return fresh

    return change
