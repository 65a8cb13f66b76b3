"""When a commission would be ready, woven among all agreed work."""

from dataclasses import dataclass, replace
from datetime import date, datetime, timedelta
from itertools import groupby

from jobs.models import Commission
from schedule.domain.outlook import told
from schedule.domain.problem import StudioProblem
from schedule.domain.scratch import Foretold, as_it_stands, foretell, foretell_alone
from schedule.engine.plan import PlannedSitting
from studio.models import Studio


@dataclass(frozen=True)
class Week:
    """A week's work on the commission: its Monday, what is done, and hands-on minutes.

    `stages` stand in the order of the work, whichever panel is taken up first.
    """

    monday: date
    stages: tuple[str, ...]
    minutes: int


@dataclass(frozen=True)
class Promise:
    """The programme of one commission in weeks, and the days by which it may be handed over.

    `last_work` is the day of the last planned sitting: from then on it only dries. `likely` and
    `surely` are the days by which it is ready in 50 and 95 of 100 futures, `curve` those days by
    their likelihood; None where it cannot all be planned, or takes longer than hours are known.
    `chance` is that of the day `wanted`, None where none is. `hangs_on` says in words what moves
    the day most, strongest first.

    Of what is not agreed yet, `day` is the first that may be promised: it is kept in at least
    `in_hundred` of 100 futures. `beside` says whether there is other work left to do, and `alone`
    is `day` without it, told where the day wanted comes before `day`.
    """

    weeks: tuple[Week, ...]
    last_work: date | None
    likely: date | None
    surely: date | None
    chance: float | None
    curve: tuple[tuple[float, date], ...]
    hangs_on: tuple[str, ...]
    wanted: date | None = None
    day: date | None = None
    in_hundred: int = 0
    beside: bool = False
    alone: date | None = None

    @property
    def too_early(self) -> bool:
        """Return whether the day wanted comes before any that may be promised."""
        first = self.day or self.likely
        return bool(self.wanted and first) and self.wanted < first

    @property
    def too_early_alone(self) -> bool:
        """Return whether it would be so even if it were the only work there is."""
        return self.too_early and (not self.beside or bool(self.alone and self.wanted < self.alone))

    @property
    def chance_in_hundred(self) -> int | None:
        """Return in how many of a hundred futures the asked day is kept, 0 and 100 left for none
        and all."""
        if self.chance is None:
            return None
        return min(max(round(self.chance * 100), self.chance > 0), 100 - (self.chance < 1))


def promise_for(commission: Commission, *, now: datetime) -> Promise:
    """Plan a commission as if it were accepted now, among all that is agreed already."""
    scratch = as_it_stands(commission.studio, now=now, also=commission)
    return promise_of(commission, foretell(scratch))


def promise_of(commission: Commission, foretold: Foretold, *, alone: bool = True) -> Promise:
    """Return the promise of a commission in a plan that was played through its futures.

    Without `alone` it is not planned by itself, which takes a fraction of a second.
    """
    promise = _promise(commission, foretold)
    if alone and promise.day and promise.too_early and promise.beside:
        by_itself = _promise(commission, foretell_alone(foretold, commission)).day
        return replace(promise, alone=min(by_itself or promise.day, promise.day))
    return promise


def _promise(commission: Commission, foretold: Foretold) -> Promise:
    studio, asked, key = commission.studio, foretold.asked, str(commission.pk)
    mine = [row for row in foretold.plan.sittings if row.commission == key]
    outlook, enough = foretold.outlooks[commission.pk], studio.dry_enough

    def day(moment: datetime | None) -> date | None:
        return moment.astimezone(studio.zone).date() if moment else None

    curve = tuple((chance, day(moment)) for chance, moment in outlook.curve if moment)
    first = None if commission.in_hand else next((d for c, d in curve if c >= enough / 100), None)
    return Promise(
        weeks=tuple(_weeks(mine, asked, studio)),
        last_work=day(max((row.end for row in mine), default=None)),
        likely=day(outlook.likely),
        surely=day(outlook.surely),
        chance=outlook.chance,
        curve=curve,
        hangs_on=tuple(told(driver, asked) for driver in outlook.drivers),
        wanted=commission.wanted,
        day=first,
        in_hundred=enough,
        beside=any(one.tasks and one.commission != key for one in asked.problem.panels),
    )


def _weeks(rows: list[PlannedSitting], asked: StudioProblem, studio: Studio) -> list[Week]:
    def monday(row: PlannedSitting) -> date:
        day = row.start.astimezone(studio.zone).date()
        return day - timedelta(days=day.weekday())

    weeks = []
    for start, group in groupby(sorted(rows, key=lambda row: row.start), key=monday):
        week = list(group)
        stages = (asked.stage_and_coat(row.task)[0] for row in week)
        names = dict.fromkeys(
            stage.name for stage in sorted(stages, key=lambda stage: stage.sort.order)
        )
        minutes = sum(int((row.end - row.start).total_seconds()) for row in week) // 60
        weeks.append(Week(start, tuple(names), minutes))
    return weeks
