"""What the woven plan is set against: the same work unwoven, and what no plan could undercut.

Reckoned by the worker and when the long search has ended, and till then when a page asks; never at
a tap.
"""

from dataclasses import dataclass, fields
from datetime import datetime, timedelta

from schedule.domain.problem import StudioProblem, build_problem
from schedule.engine.baselines import baselines
from schedule.engine.bounds import Bound, bound
from schedule.engine.gap import Gap, gap_of
from schedule.engine.objective import Score
from schedule.engine.plan import Finish, Plan
from schedule.models import PlannedFinish, Programme


@dataclass(frozen=True)
class Comparison:
    """How long the plan takes, in days from today to the last coat dry; None where it has no end.

    `one_panel`, `one_commission` and `simple_rule` are the same work without weaving: one panel
    after another, one commission after another, and always what is wanted first. `better` is how
    many days sooner the last delivery could be at most, by any plan. `panels` have work left.
    """

    woven: int | None
    one_panel: int | None
    one_commission: int | None
    simple_rule: int | None
    better: int | None
    panels: int
    lateness: float | None = None
    finishes: float | None = None
    least: float | None = None

    @property
    def could_win(self) -> int | None:
        """Return by how many of a hundred parts any plan could be better, lateness counted in."""
        if self.lateness is None:
            return None
        more = max(0.0, self.lateness + self.finishes)
        return int(100 * more / (self.least + more)) if more else 0

    @property
    def mostly_late(self) -> bool:
        """Return whether most of what could be won is lateness, rather than earlier finishes."""
        return self.lateness is not None and self.lateness > self.finishes

    @property
    def sooner(self) -> bool:
        """Return whether there is anything to weave, and weaving wins a day or more."""
        return None not in (self.woven, self.one_panel) and self.woven < self.one_panel

    @property
    def one_commission_told(self) -> bool:
        """Return whether weaving wins against it, and it is another figure than the one before."""
        return self._is_won(self.one_commission) and self.one_commission != self.one_panel

    @property
    def simple_rule_told(self) -> bool:
        """Return whether weaving wins against it."""
        return self._is_won(self.simple_rule)

    def _is_won(self, days: int | None) -> bool:
        return None not in (self.woven, days) and self.woven < days


def compared(programme: Programme) -> Comparison | None:
    """Return the comparison if it is of this very plan, with all its figures, else None."""
    kept = dict(programme.compared)
    is_its = kept.pop("of", None) == programme.made_at.isoformat()
    if not is_its or kept.keys() != {field.name for field in fields(Comparison)}:
        return None
    return Comparison(**kept)


def compare(programme: Programme) -> Comparison:
    """Return the comparison of a studio's plan, reckoned where it is not known yet."""
    if known := compared(programme):
        return known
    studio = programme.studio
    asked = build_problem(studio, now=programme.made_at)
    rows = PlannedFinish.objects.of(studio).filter(commission__in=asked.commissions.values())
    finishes = list(rows.values_list("finish", flat=True))
    return _comparison(programme, asked, finishes)


def keep_comparison(programme: Programme) -> None:
    """Have the comparison of a plan known, unless it is or the plan is another by now."""
    if compared(programme) is None:
        kept = {"of": programme.made_at.isoformat(), **vars(compare(programme))}
        same = Programme.objects.filter(pk=programme.pk, made_at=programme.made_at)
        same.update(compared=kept)


def _comparison(
    programme: Programme, asked: StudioProblem, finishes: list[datetime | None]
) -> Comparison:
    studio = programme.studio
    today = asked.problem.now.astimezone(studio.zone).date()

    def days(finishes: list[datetime | None]) -> int | None:
        if not finishes or None in finishes:
            return None
        return (max(finishes).astimezone(studio.zone).date() - today).days

    def of(plan: Plan) -> int | None:
        working = {panel.commission for panel in asked.problem.panels}
        return days([row.finish for row in plan.finishes if row.commission in working])

    unwoven = baselines(asked.problem)
    woven = days([one for one in finishes if one])
    if None in finishes:
        woven = None
    least = bound(asked.problem)
    gap = _gap(programme.cost, finishes, least) if woven is not None else None
    return Comparison(
        woven=woven,
        one_panel=of(unwoven.one_panel),
        one_commission=of(unwoven.one_commission),
        simple_rule=of(unwoven.simple_rule),
        better=max(0, woven - days([least.last])) if woven is not None and least.last else None,
        panels=sum(bool(panel.tasks) for panel in asked.problem.panels),
        lateness=gap and gap.lateness,
        finishes=gap and gap.completion,
        least=gap and gap.least,
    )


def _gap(cost: dict, finishes: list[datetime], least: Bound) -> Gap | None:
    """Return how far a plan of this cost and these finishes is from the best there could be."""
    if not cost:
        return None
    ends = tuple(Finish(str(place), finish, timedelta(0)) for place, finish in enumerate(finishes))
    return gap_of(Plan((), (), ends, ()), Score(**cost), least)
