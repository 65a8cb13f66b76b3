"""Invented studios to measure a planner on: seeded, from one commission to years of work.

One painter works Tuesday to Saturday in slots of a quarter of an hour, with a week off in eight.
Every commission has a few pieces whose panels are painted by one of three methods, coat by coat
with a gate after each. All figures are common practice, no source.
"""

from collections.abc import Iterator
from dataclasses import replace
from datetime import UTC, date, datetime, time, timedelta
from random import Random
from typing import NamedTuple
from zoneinfo import ZoneInfo

from schedule.engine.calendar import WeeklyHours, Window, open_windows
from schedule.engine.problem import Commission, Face, Gate, Panel, Person, Problem, Task

MONDAY = date(2026, 1, 5)
NOW = datetime(2026, 1, 6, 7, 0, tzinfo=UTC)
PLACE = ZoneInfo("Europe/Berlin")
SHORTEST, LONGEST = 45, 210
CALENDAR_A_MINUTE = timedelta(weeks=8) / (7 * 5 * 7.5 * 60)
"""How much calendar a minute of work takes: seven weeks in eight of five days of 7.5 hours."""


class Stage(NamedTuple):
    """A stage of a method: minutes of work a small panel takes, its gate, and its hours."""

    name: str
    minutes: int
    gate: str
    hours: float


GROUNDWORK = (
    Stage("sand and seal", 75, "recoat", 4),
    Stage("first gesso", 60, "recoat", 3),
    Stage("second gesso", 60, "through-dry", 20),
    Stage("rub down", 75, "recoat", 0),
    Stage("ground colour", 75, "recoat", 5),
    Stage("second ground colour", 75, "through-dry", 24),
)
METHODS = {
    "border": (
        *GROUNDWORK,
        Stage("set out the border", 105, "touch-dry", 0),
        Stage("stripe", 150, "recoat", 12),
        Stage("varnish", 60, "recoat", 24),
        Stage("second varnish", 60, "through-dry", 48),
    ),
    "interlace": (
        *GROUNDWORK,
        Stage("set out the interlace", 240, "touch-dry", 0),
        Stage("lay in the strands", 420, "recoat", 8),
        Stage("shade the crossings", 360, "recoat", 12),
        Stage("line the edges", 300, "recoat", 12),
        Stage("varnish", 75, "recoat", 24),
        Stage("second varnish", 75, "through-dry", 48),
    ),
    "landscape": (
        *GROUNDWORK,
        Stage("draw the scene", 180, "touch-dry", 0),
        Stage("sky and distance", 300, "recoat", 24),
        Stage("middle ground", 360, "recoat", 36),
        Stage("foreground", 420, "recoat", 48),
        Stage("last touches", 150, "through-dry", 96),
        Stage("varnish", 75, "through-dry", 48),
    ),
}


def studio(commissions: int, *, tight: float = 1.5, seed: int = 1) -> Problem:
    """A studio with so many commissions.

    Dates are set one after another along the work, give or take a week, `tight` times as far off
    as the work alone would have them: at 1.5 nearly all can be met, at 1.0 many cannot.
    """
    lot = Random(f"{seed}/{commissions}")
    panels = [_panels(lot, f"commission {number:02}") for number in range(commissions)]
    work = [sum(task.minutes for panel in held for task in panel.tasks) for held in panels]
    order = list(range(commissions))
    lot.shuffle(order)
    wanted, done = {}, 0
    for number in order:
        done += work[number]
        whim = timedelta(days=lot.uniform(-7, 7))
        wanted[number] = NOW + tight * done * CALENDAR_A_MINUTE + whim
    return Problem(
        NOW,
        (Person("painter", _hours(sum(work))),),
        tuple(
            Commission(f"commission {number:02}", wanted[number], lot.choice((1, 1, 1, 2, 3)))
            for number in range(commissions)
        ),
        tuple(panel for held in panels for panel in held),
    )


FACES = ("front", "back", "left", "right")
RACK = 3


def full_studio(commissions: int, *, tight: float = 1.5, seed: int = 1) -> Problem:
    """The studio of that seed with all that hinders and helps in it.

    Four panels of a commission are on the faces of a fixed piece, which lies on the opposite face
    while one is painted; the others are removable and share a rack. A coat may be touched after
    two fifths of its wait. Two ground colours of a commission share a palette, and a sky is
    softened while it is wet.
    """
    problem = studio(commissions, tight=tight, seed=seed)
    faces, panels = [], []
    for commission in problem.commissions:
        key = commission.key
        faces += [
            Face(f"{key}, {one}", (f"{key}, {other}",))
            for pair in (FACES[:2], FACES[2:])
            for one, other in (pair, pair[::-1])
        ]
        mine = [panel for panel in problem.panels if panel.commission == key]
        for number, panel in enumerate(mine):
            face = f"{key}, {FACES[number]}" if number < len(FACES) else ""
            tasks = tuple(task for old in panel.tasks for task in _full(old, key))
            panels.append(replace(panel, tasks=tasks, face=face, rack=not face))
    return replace(problem, panels=tuple(panels), faces=tuple(faces), rack=RACK)


def _full(task: Task, commission: str) -> Iterator[Task]:
    gate = replace(task.gate, wet=task.gate.wait * 2 / 5)
    if "ground colour" in task.key:
        yield replace(task, gate=gate, mix=f"{commission}, ground", set_up=15)
    elif task.key == "sky and distance":
        yield replace(task, gate=None)
        yield Task("soften the sky", SHORTEST, SHORTEST, LONGEST, gate, within=timedelta(hours=5))
    else:
        yield replace(task, gate=gate)


def _panels(lot: Random, commission: str) -> tuple[Panel, ...]:
    methods = lot.choices(sorted(METHODS), (2, 1, 1), k=lot.randint(3, 7))
    return tuple(
        Panel(f"{commission}, panel {number}", commission, tuple(_tasks(lot, method)))
        for number, method in enumerate(methods)
    )


def _tasks(lot: Random, method: str) -> Iterator[Task]:
    size = lot.lognormvariate(0.5, 0.4)
    for stage in METHODS[method]:
        minutes = max(SHORTEST, round(stage.minutes * size / 15) * 15)
        wait = timedelta(minutes=round(stage.hours * 60))
        yield Task(stage.name, minutes, SHORTEST, LONGEST, Gate(stage.gate, wait))


def _hours(minutes: int) -> tuple[Window, ...]:
    """Hours enough to do all the work three times over, and half a year more."""
    days = (3 * minutes * CALENDAR_A_MINUTE).days + 180
    week = [
        WeeklyHours(weekday, start, end)
        for weekday in range(1, 6)
        for start, end in ((time(8), time(12)), (time(13), time(16, 30)))
    ]
    off = [
        MONDAY + timedelta(weeks=7 + 8 * n, days=d) for n in range(days // 56 + 1) for d in range(7)
    ]
    return open_windows(
        week, days_off=off, zone=PLACE, first=MONDAY, last=MONDAY + timedelta(days=days)
    )
