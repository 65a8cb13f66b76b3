"""The planner measured: medians over seeded studios, to be run by hand.

    python -m tests.benchmarks.programme [--seeds 5] [--sizes 1,5,20,60] [--marks 1,5,20]
        [--full] [--exact 0.3]

Times are the process's own, so that a busy machine does not spoil them: each search is given as
many steps as fit its mark by the pace of a short one. Gaps are in per cent of the bound, of 20 x
weight x lateness + completion, and of the last delivery; `late part` is how much of the last gap
in cost is lateness; `/ decode` is the time to the first plan in bare decodes, `cuts` the part of
all sittings that no stage needed. Days are parts of those of the same work one thing after another,
or by the simple rule. `--full` is the studios with turning, a rack, shared palettes and wet paint.
With `--exact`, so much of the solver's effort follows each search of a single commission.
"""

import sys
from argparse import ArgumentParser
from datetime import datetime
from statistics import median
from time import process_time

from schedule.engine.baselines import baselines
from schedule.engine.bounds import LATE, bound
from schedule.engine.decoder import decode
from schedule.engine.judge import faults
from schedule.engine.pins import settled
from schedule.engine.plan import Plan
from schedule.engine.planner import make_plan
from schedule.engine.problem import Problem
from schedule.engine.rules import wanted_first
from schedule.engine.search import Answer, search
from tests.benchmarks.studios import full_studio, studio
from tests.schedule.engine.priced import price

TIGHT = (1.5, 1.0)
PACE = 25
"""Steps by which the pace of a studio's search is taken."""


def measured(problem: Problem, marks: list[float], exact: float) -> dict[str, float]:
    """The figures of one studio, by their headings."""
    begun = process_time()
    first = make_plan(problem)
    first_s = process_time() - begun
    row = {"first ms": 1000 * first_s, "/ decode": first_s / decoding(problem)}
    begun = process_time()
    least = bound(problem)
    bounding = process_time() - begun
    row["bound s"] = bounding
    row["first gap"] = 100 * float(price(problem, first, late=LATE) / least.cost - 1)
    begun = process_time()
    search(problem, steps=PACE)
    pace = max(1e-4, (process_time() - begun - bounding) / PACE)
    answer: Answer | None = None
    for mark in marks:
        answer = search(problem, steps=max(2, int((mark - bounding) / pace)), exact=exact)
        if wrong := faults(problem, answer.plan):
            raise AssertionError(wrong[0])
        row[f"gap {mark:g} s"] = 100 * answer.gap.part
    gap = answer.gap
    above = gap.lateness + gap.completion
    row["late part"] = 100 * gap.lateness / above if above > 0 else 0.0
    row["cuts"] = answer.score.cuts / len(answer.plan.sittings)
    row["steps"] = answer.steps
    days = length(problem, answer.plan)
    row["last d"] = days
    row["last gap"] = 100 * (days / ((least.last - problem.now).total_seconds() / 86_400) - 1)
    plain = baselines(problem)
    for name, plan in (
        ("/ commission", plain.one_commission),
        ("/ panel", plain.one_panel),
        ("/ rule", plain.simple_rule),
    ):
        row[name] = days / length(problem, plan)
    return row


def decoding(problem: Problem) -> float:
    """The seconds of one bare decode, of five."""
    ground = settled(problem, wanted_first)
    begun = process_time()
    for _ in range(5):
        decode(ground.works, ground.keys, stops=ground.stops)
    return max(1e-6, (process_time() - begun) / 5)


def length(problem: Problem, plan: Plan) -> float:
    """The days until the last delivery."""
    last: datetime = max(finish.finish for finish in plan.finishes if finish.finish)
    return (last - problem.now).total_seconds() / 86_400


def main() -> None:
    parser = ArgumentParser(description="Measure the planner on seeded studios.")
    parser.add_argument("--seeds", type=int, default=5)
    parser.add_argument("--sizes", default="1,5,20,60")
    parser.add_argument("--marks", default="1,5,20")
    parser.add_argument("--full", action="store_true")
    parser.add_argument("--exact", type=float, default=0.0)
    chosen = parser.parse_args()
    made = full_studio if chosen.full else studio
    marks = [float(mark) for mark in chosen.marks.split(",")]
    heading = ""
    for size in map(int, chosen.sizes.split(",")):
        for tight in TIGHT:
            rows = [
                measured(made(size, tight=tight, seed=seed), marks, chosen.exact)
                for seed in range(1, chosen.seeds + 1)
            ]
            names = list(rows[0])
            if not heading:
                say(heading := "  ".join(["  n", "tight", *(f"{name:>9}" for name in names)]))
            figures = (median(row[name] for row in rows) for name in names)
            cells = (
                f"{value:>{max(9, len(n))}.2f}" for n, value in zip(names, figures, strict=True)
            )
            say("  ".join([f"{size:>3}", f"{tight:>5}", *cells]))


def say(line: str) -> None:
    sys.stdout.write(line + "\n")
    sys.stdout.flush()


if __name__ == "__main__":
    main()
