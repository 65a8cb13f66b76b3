"""When a commission would be ready, woven among all agreed work."""

from dataclasses import dataclass
from datetime import date, datetime, timedelta
from itertools import groupby

from jobs.models import Commission
from schedule.domain.problem import StudioProblem, build_problem
from schedule.engine.plan import Plan, PlannedSitting
from schedule.engine.planner import make_plan
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
    """The programme of one commission in weeks; `ready` is None where it cannot all be planned.

    `last_work` is the day of the last sitting: from then on it only dries.
    """

    weeks: tuple[Week, ...]
    last_work: date | None
    ready: date | None


def promise_for(commission: Commission, *, now: datetime) -> Promise:
    """Plan a commission as if it were accepted now, among all that is agreed already."""
    studio = commission.studio
    asked = build_problem(studio, now=now, also=commission)
    plan = make_plan(asked.problem)
    mine = [row for row in plan.sittings if row.commission == str(commission.pk)]
    finish = _finish(plan, commission, studio)
    last = max((row.end for row in mine), default=None)
    return Promise(
        weeks=tuple(_weeks(mine, asked, studio)),
        last_work=last.astimezone(studio.zone).date() if last else None,
        ready=finish,
    )


def _finish(plan: Plan, commission: Commission, studio: Studio) -> date | None:
    for row in plan.finishes:
        if row.commission == str(commission.pk) and row.finish:
            return row.finish.astimezone(studio.zone).date()
    return None


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
