"""The exact layer beside a general scheduling library, on what both can express; run by hand.

    uv run --group bench python -m tests.benchmarks.exact_layer [--count 10]

Projects with shared room (RCPSP), without and with greatest lags (RCPSP/max): made by seed, the
makespan to be made small. Times are the process's own, medians over the projects.
"""

import sys
from argparse import ArgumentParser
from collections.abc import Callable
from random import Random
from statistics import median
from time import process_time

from schedule.engine.cp.model import Cumulative, Lag, Model, Task
from schedule.engine.cp.solve import Limits, Status, solve
from tests.outside.project_scheduling import makespan

try:
    import pyjobshop
except ImportError:
    pyjobshop = None

SECONDS = 10
ROOMS = (10, 12, 8)
Found = tuple[int | None, bool]
"""The makespan found, and whether it was proved (or proved impossible)."""


def project(count: int, seed: int, *, held_back: bool) -> Model:
    """Activities each after up to three of those before it; `held_back` adds greatest lags."""
    lot = Random(f"{count}/{seed}/{held_back}")
    tasks = tuple(Task(str(n), time := lot.randint(1, 10), time) for n in range(count))
    lags = []
    for after in range(1, count):
        for before in sorted(lot.sample(range(after), min(after, lot.randint(0, 3)))):
            least = tasks[before].most + lot.choice((0, 0, 4))
            most = least + lot.randint(8, 40) if held_back and lot.random() < 0.3 else None
            lags.append(Lag(str(before), str(after), least, most))
    return Model(
        sum(task.most + 4 for task in tasks),
        tasks,
        tuple(lags),
        cumulative=tuple(
            Cumulative(room, tuple((task.key, lot.choice((0, 1, 2, 4, 6))) for task in tasks))
            for room in ROOMS
        ),
        deliveries=(makespan(tasks),),
    )


def by_us(model: Model) -> Found:
    answer = solve(model, limits=Limits(effort=SECONDS / 2, seconds=SECONDS))
    return answer.cost, answer.status in (Status.PROVED, Status.IMPOSSIBLE)


def by_the_library(model: Model) -> Found:
    theirs = pyjobshop.Model()
    rooms = [theirs.add_renewable(capacity=room.capacity) for room in model.cumulative]
    demands = [dict(room.demands) for room in model.cumulative]
    tasks = {}
    for task in model.tasks:
        tasks[task.key] = theirs.add_task(latest_end=model.horizon)
        needed = [demand[task.key] for demand in demands]
        theirs.add_mode(tasks[task.key], rooms, duration=task.most, demands=needed)
    for lag in model.lags:
        first, second = tasks[lag.first], tasks[lag.second]
        theirs.add_start_before_start(first, second, delay=lag.least)
        if lag.most is not None:
            theirs.add_start_before_start(second, first, delay=-lag.most)
    found = theirs.solve("ortools", time_limit=SECONDS, display=False, num_workers=2)
    known = found.status.value in ("Optimal", "Infeasible")
    feasible = found.status.value in ("Optimal", "Feasible")
    return round(found.objective) if feasible else None, known


def timed(way: Callable[[Model], Found], model: Model) -> tuple[Found, float]:
    begun = process_time()
    found = way(model)
    return found, process_time() - begun


def compared(ours: list[tuple[Found, float]], theirs: list[tuple[Found, float]]) -> str:
    """The medians of our time and our makespan as parts of the library's, where both found one."""
    pairs = list(zip(ours, theirs, strict=True))
    times = median(mine / max(1e-6, other) for (_, mine), (_, other) in pairs)
    costs = [a / b for ((a, _), _), ((b, _), _) in pairs if a is not None and b]
    return f"time {times:.2f}  makespan {median(costs) if costs else float('nan'):.3f}"


def main() -> None:
    parser = ArgumentParser(description="Measure the exact layer on projects made by seed.")
    parser.add_argument("--count", type=int, default=10)
    count = parser.parse_args().count
    ways = {"ours": by_us} | ({"library": by_the_library} if pyjobshop else {})
    for held_back in (False, True):
        for size in (20, 30, 60):
            models = [project(size, seed, held_back=held_back) for seed in range(count)]
            runs = {name: [timed(way, model) for model in models] for name, way in ways.items()}
            heading = f"{'RCPSP/max' if held_back else 'RCPSP':<9} {size:>3}"
            for name, results in runs.items():
                proved = sum(known for (_, known), _ in results)
                time = median(seconds for _, seconds in results)
                say(f"{heading}  {name:<8} proved {proved:>2}/{count}  median {time:6.3f} s")
            if len(runs) > 1:
                say(f"{heading}  {'ratio':<8} {compared(*runs.values())}")
            pairs = list(zip(*([found for found, _ in run] for run in runs.values()), strict=True))
            for found in pairs:
                if len({cost for cost, known in found if known}) > 1:
                    raise AssertionError(f"Two different makespans are both proved: {found}")


def say(line: str) -> None:
    sys.stdout.write(line + "\n")
    sys.stdout.flush()


if __name__ == "__main__":
    main()
