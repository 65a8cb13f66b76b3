"""On which days a mix is used, and which of them one mixing can serve."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from datetime import date, datetime, timedelta
from decimal import Decimal
from itertools import groupby
from operator import itemgetter

from jobs.domain.mix_needs import supplies_of
from jobs.domain.paint_taken import stage_millilitres
from jobs.domain.workshop import Workshop, workshop_of
from jobs.models import Mix, Panel, Supply
from jobs.paint.binders import binder
from jobs.paint.gates import TOUCH_DRY
from jobs.paint.mixing import FILE
from jobs.paint.values import values
from schedule.domain.programme import planned_sittings
from schedule.models import PlannedSitting


@dataclass(frozen=True)
class Use:
    """One planned sitting with the mix, on its local day, and what it takes in ml."""

    sitting: PlannedSitting
    day: date
    ml: Decimal


@dataclass(frozen=True)
class Batch:
    """What can be mixed at once: uses in one kind of paint while a mixing keeps `keeps` long.

    `jar`: it keeps in a closed jar, and not on the palette.
    """

    supply: Supply
    uses: tuple[Use, ...]
    keeps: timedelta
    jar: bool

    @property
    def ml(self) -> Decimal:
        return sum((use.ml for use in self.uses), Decimal(0))

    @property
    def first(self) -> date:
        return self.uses[0].day

    @property
    def last(self) -> date:
        return self.uses[-1].day

    @property
    def panels(self) -> tuple[Panel, ...]:
        """Return the panels it serves, each once, in the order of their turn."""
        return tuple(
            {use.sitting.stage.panel_id: use.sitting.stage.panel for use in self.uses}.values()
        )

    @property
    def days(self) -> tuple[tuple[date, tuple[Use, ...]], ...]:
        """Return its uses by day."""
        return tuple((day, tuple(uses)) for day, uses in groupby(self.uses, lambda use: use.day))


def mix_batches(mix: Mix, *, now: datetime) -> tuple[Batch, ...]:
    """Return what to mix at once for the sittings planned from `now` on, in their order.

    The programme must be fresh. A mixing counts as lasting from its first use: in a jar as long
    as practice has it, on the palette as long as a coat of it takes to come touch-dry.
    """
    planned = list(
        planned_sittings(mix.studio)
        .filter(stage__mix=mix, end__gt=now)
        .prefetch_related("stage__mix__parts")
    )
    supplies, workshop = supplies_of(mix.studio), workshop_of(mix.studio)
    batches: list[Batch] = []
    for key in {row.stage.binder for row in planned if row.stage.binder in supplies}:
        own = [row for row in planned if row.stage.binder == key]
        batches.extend(_batches(own, supplies[key], workshop))
    return tuple(sorted(batches, key=lambda one: (one.uses[0].sitting.start, one.supply.pk)))


def _batches(rows: Sequence[PlannedSitting], supply: Supply, workshop: Workshop) -> Iterator[Batch]:
    uses = [_use(row, rows, supply) for row in rows]
    while uses:
        served, (jar, keeps) = uses[:1], _keeps(uses[0].sitting, workshop)
        for use in uses[1:]:
            # A medium worked in for one use is in the mixing for all: the shortest governs.
            _, shorter = min((jar, keeps), _keeps(use.sitting, workshop), key=itemgetter(1))
            if use.sitting.start > uses[0].sitting.start + shorter:
                break
            served, keeps = [*served, use], shorter
        yield Batch(supply, tuple(served), keeps, jar)
        uses = uses[len(served) :]


def _keeps(row: PlannedSitting, workshop: Workshop) -> tuple[bool, timedelta]:
    if binder(row.stage.binder).family == "water":
        return True, timedelta(days=values(FILE)["jar-days"].value)
    return False, workshop.wait(row.stage, TOUCH_DRY.key).likely


def _use(row: PlannedSitting, rows: Sequence[PlannedSitting], supply: Supply) -> Use:
    """Return what a sitting takes: its share, by the time it lasts, of its coat's paint."""
    coat = [one for one in rows if (one.stage_id, one.coat) == (row.stage_id, row.coat)]
    whole = stage_millilitres(row.stage, supply, coats=1)
    ml = whole * row.minutes / max(1, sum(one.minutes for one in coat))
    return Use(row, row.start.astimezone(row.studio.zone).date(), ml)
