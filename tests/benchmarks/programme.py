"""The planner measured: medians over seeded studios, to be run by hand.

    python -m tests.benchmarks.programme [--seeds 5] [--sizes 1,5,20,60]

Times are the process's own, so that a busy machine does not spoil them. Costs are in slots: 20 x
weight x lateness + completion, summed over the commissions.
"""

import sys
from argparse import ArgumentParser
from collections.abc import Callable, Iterable
from dataclasses import dataclass, replace
from datetime import datetime
from statistics import median
from time import process_time

from schedule.engine.bounds import LATE, Bound, bound
from schedule.engine.judge import faults
from schedule.engine.plan import Plan
from schedule.engine.planner import make_plan
from schedule.engine.problem import Panel, Problem
from tests.benchmarks.studios import studio
from tests.schedule.engine.priced import price

PLANNERS: dict[str, Callable[[Problem], Plan]] = {"dispatch": make_plan}
"""The ways of planning to be measured beside each other, each from a problem to a plan."""
TIGHT = (1.5, 1.0)
COLUMNS = (
    ("planner", "{:<10}"),
    ("n", "{:>3}"),
    ("tight", "{:>5}"),
    ("plan s", "{:>7.3f}"),
    ("bound s", "{:>7.2f}"),
    ("cost", "{:>11,.0f}"),
    ("bound", "{:>11,.0f}"),
    ("gap %", "{:>6.1f}"),
    ("last d", "{:>7.1f}"),
    ("last gap %", "{:>10.1f}"),
    ("/ commission", "{:>12.2f}"),
    ("/ panel", "{:>7.2f}"),
)


@dataclass(frozen=True, slots=True)
class Case:
    """A studio with its bound and the days it takes one thing after another."""

    problem: Problem
    least: Bound
    seconds: float
    by_commission: float
    by_panel: float


def case_of(size: int, tight: float, seed: int) -> Case:
    problem = studio(size, tight=tight, seed=seed)
    begun = process_time()
    least = bound(problem)
    seconds = process_time() - begun
    order = {key: place for place, key in enumerate(wanted_first(problem))}
    panels = sorted(problem.panels, key=lambda panel: order[panel.commission])
    groups = [
        [panel for panel in panels if panel.commission == key] for key in wanted_first(problem)
    ]
    return Case(
        problem,
        least,
        seconds,
        one_after_another(problem, groups),
        one_after_another(problem, [[panel] for panel in panels]),
    )


def wanted_first(problem: Problem) -> list[str]:
    return [item.key for item in sorted(problem.commissions, key=lambda item: item.wanted)]


def one_after_another(problem: Problem, groups: Iterable[list[Panel]]) -> float:
    """The days it takes if each group is begun when the one before it is over."""
    at = problem.now
    for group in groups:
        at = over(make_plan(replace(problem, now=at, panels=tuple(group))))
    return days(problem, at)


def over(plan: Plan) -> datetime:
    return max(finish.finish for finish in plan.finishes if finish.finish)


def days(problem: Problem, at: datetime) -> float:
    return (at - problem.now).total_seconds() / 86_400


def measured(case: Case, planner: Callable[[Problem], Plan]) -> list[float]:
    """The figures of one planner on one studio, in the order of the columns from `plan s` on."""
    problem, slot = case.problem, case.problem.slot.total_seconds() / 60
    begun = process_time()
    plan = planner(problem)
    seconds = process_time() - begun
    if wrong := faults(problem, plan):
        raise AssertionError(wrong[0])
    cost = float(price(problem, plan, late=LATE))
    last, least = days(problem, over(plan)), days(problem, case.least.last)
    return [
        seconds,
        case.seconds,
        cost / slot,
        case.least.cost / slot,
        100 * (cost / case.least.cost - 1),
        last,
        100 * (last / least - 1),
        last / case.by_commission,
        last / case.by_panel,
    ]


def main() -> None:
    parser = ArgumentParser(description="Measure the planner on seeded studios.")
    parser.add_argument("--seeds", type=int, default=5)
    parser.add_argument("--sizes", default="1,5,20,60")
    chosen = parser.parse_args()
    say("  ".join(width(form).format(name) for name, form in COLUMNS))
    for size in map(int, chosen.sizes.split(",")):
        for tight in TIGHT:
            cases = [case_of(size, tight, seed) for seed in range(1, chosen.seeds + 1)]
            for name, planner in PLANNERS.items():
                rows = [measured(case, planner) for case in cases]
                figures = [median(column) for column in zip(*rows, strict=True)]
                cells = zip(COLUMNS, (name, size, tight, *figures), strict=True)
                say("  ".join(form.format(value) for (_, form), value in cells))


def width(form: str) -> str:
    """A column's form for its heading: as wide, without the number's own part."""
    return form.split(".")[0].split(",")[0].rstrip("}") + "}"


def say(line: str) -> None:
    sys.stdout.write(line + "\n")
    sys.stdout.flush()


if __name__ == "__main__":
    main()
