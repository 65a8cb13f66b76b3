"""How long a promise takes, and how often what it promises holds; run by hand.

`python3 -m uv run python -m tests.benchmarks.promise` prints process time in seconds for studios of
1, 5, 20 and 60 commissions, plain and with faces to turn, a rack, wet runs, mixes and pins, medians
over five seeds, and the shares of futures, played by the simulation of the tests, in which the
dates of small studios hold.
"""

import sys
import time
from dataclasses import replace
from datetime import UTC, date, datetime, timedelta
from datetime import time as clock
from random import Random
from statistics import median
from zoneinfo import ZoneInfo

from schedule.engine.calendar import WeeklyHours, open_windows
from schedule.engine.plan import Plan
from schedule.engine.planner import make_plan
from schedule.engine.problem import Commission, Face, Gate, Panel, Person, Pin, Problem, Task
from schedule.engine.promise.doubt import Doubt
from schedule.engine.promise.outlook import SCENARIOS, foresee
from schedule.engine.promise.replay import LOOK_AHEAD
from tests.schedule.engine.promise.futures import drawn
from tests.schedule.engine.promise.played import Played

FIRST = date(2026, 3, 2)
DAY = timedelta(days=1)
SEEDS = range(5)
FUTURES = 400


def studio(commissions: int, *, people: int = 1, seed: int) -> Problem:
    """A studio that works Tuesday to Saturday with a week off in eight: four or five panels to a
    commission, ten to thirteen coats to a panel."""
    dice = Random(seed)
    years = 2 + commissions // 6
    hours = [
        WeeklyHours(day, opens, closes)
        for day in range(1, 6)
        for opens, closes in ((clock(9), clock(12, 30)), (clock(13, 30), clock(17, 30)))
    ]
    off = [FIRST + (56 * block + 49 + day) * DAY for block in range(7 * years) for day in range(7)]
    windows = open_windows(
        hours,
        days_off=off,
        zone=ZoneInfo("Europe/Berlin"),
        first=FIRST,
        last=FIRST + 365 * years * DAY,
    )
    wanted = datetime(2026, 4, 20, tzinfo=UTC)
    wants = [
        Commission(f"commission {n:02}", wanted + 45 * n * DAY // people)
        for n in range(commissions)
    ]
    panels = [
        Panel(f"{one.key} panel {n}", one.key, tuple(coats(dice)))
        for one in wants
        for n in range(dice.choice((4, 4, 5)))
    ]
    names = [Person(f"person {n}", windows) for n in range(people)]
    return Problem(datetime(2026, 3, 2, 7, tzinfo=UTC), tuple(names), tuple(wants), tuple(panels))


def coats(dice: Random) -> list[Task]:
    return [
        Task(
            f"coat {n}",
            dice.choice((45, 60, 90, 120, 240, 300)),
            45,
            210,
            Gate("recoat", timedelta(hours=dice.choice((3, 12, 24, 48)))),
        )
        for n in range(dice.randint(10, 13))
    ]


def with_everything(problem: Problem, seed: int) -> Problem:
    """The studio with two faces of each piece laid on one another, the rest drying on a rack of
    six, each sixth coat worked into the one before, a dozen mixes, and something fixed a month."""
    dice = Random(seed)
    panels, faces, pins = [], [], []
    for number, panel in enumerate(problem.panels):
        tasks = []
        for n, task in enumerate(panel.tasks):
            mix = f"mix {dice.randrange(12)}"
            inside = timedelta(days=1) if n % 6 == 5 and task.minutes <= 120 else None
            if inside:
                short = timedelta(minutes=15)
                before = replace(tasks[-1], minutes=60, gate=Gate("touch-dry", short))
                tasks[-1] = before
            wet = task.gate and replace(task.gate, wet=task.gate.wait / 4)
            tasks.append(replace(task, gate=wet, mix=mix, set_up=15, within=inside))
        side = number % 4
        face = f"{panel.commission} {side}" if side < 2 else ""
        if face and face not in {one.key for one in faces}:
            faces.append(Face(face))
        panels.append(replace(panel, tasks=tuple(tasks), face=face, rack=not face))
    known = {face.key for face in faces}
    turned = []
    for face in faces:
        other = face.key[:-1] + str(1 - int(face.key[-1]))
        turned.append(Face(face.key, (other,) if other in known else ()))
    now, ana = problem.now, problem.people[0]
    month = iter(window.start for window in ana.windows[20::40])
    for panel, start in zip(panels[::5], month, strict=False):
        task = panel.tasks[0]
        if start > now:
            start += -(start - now) % problem.slot
            pins.append(Pin(panel.key, task.key, ana.key, start, start + timedelta(minutes=45)))
    return replace(problem, panels=tuple(panels), faces=tuple(turned), rack=6, pins=tuple(pins))


def seconds(problem: Problem, plan: Plan, ahead: int) -> float:
    start = time.process_time()
    foresee(problem, plan, ahead=ahead)
    return time.process_time() - start


def kept(problem: Problem, plan: Plan, seed: int) -> list[tuple[float, ...]]:
    """Of each commission, the share of futures in which likely, fairly and surely hold."""
    doubt, dice = Doubt(), Random(1000 + seed)
    played = [
        Played(problem, plan, drawn(problem, doubt, dice), LOOK_AHEAD).run() for _ in range(FUTURES)
    ]
    return [
        tuple(
            sum(ends[one.commission] <= day for ends in played) / FUTURES
            for day in (one.likely, one.fairly, one.surely)
        )
        for one in foresee(problem, plan, doubt)
    ]


def say(line: str) -> None:
    sys.stdout.write(line + "\n")
    sys.stdout.flush()


def main() -> None:
    say(f"{SCENARIOS} scenarios, process time in seconds, medians of {len(SEEDS)} seeds")
    for count, people in ((1, 1), (5, 1), (20, 1), (20, 2), (60, 1)):
        problems = [studio(count, people=people, seed=seed) for seed in SEEDS]
        plans = [make_plan(problem) for problem in problems]
        sittings = median(len(plan.sittings) for plan in plans)
        times = [
            f"{ahead} ahead {median(map(seconds, problems, plans, [ahead] * len(plans))):.2f}"
            for ahead in (1, 4, 8)
        ]
        say(f"{count:3} commissions, {people} people, {sittings:5} sittings: {', '.join(times)}")
    for count, people in ((5, 1), (20, 1), (20, 2)):
        whole = [with_everything(studio(count, people=people, seed=seed), seed) for seed in SEEDS]
        plans = [make_plan(problem) for problem in whole]
        sittings = median(len(plan.sittings) for plan in plans)
        time_taken = median(map(seconds, whole, plans, [LOOK_AHEAD] * len(plans)))
        say(
            f"{count:3} commissions with everything, {people} people, {sittings:5} sittings: "
            f"{LOOK_AHEAD} ahead {time_taken:.2f}"
        )
    shares = []
    for seed in SEEDS:
        problem = studio(2, people=1 + seed % 2, seed=seed)
        shares += kept(problem, make_plan(problem), seed)
    for name, column in zip(("likely", "fairly", "surely"), zip(*shares, strict=True), strict=True):
        say(f"{name} holds in {min(column):.1%} to {max(column):.1%}, median {median(column):.1%}")


if __name__ == "__main__":
    main()
