"""What the judge measures by: slots, rooms, working days and pins, by plain enumeration."""

from collections.abc import Iterator
from datetime import UTC, datetime, timedelta

from schedule.engine.calendar import Window
from schedule.engine.plan import Plan, PlannedSitting
from schedule.engine.problem import NIGHT, Person, Pin, Problem, Task

MINUTE = timedelta(minutes=1)
NOTHING = timedelta(0)
START = datetime(1970, 1, 1, tzinfo=UTC)


def name(sitting: PlannedSitting) -> str:
    """Return what the judge calls a sitting."""
    return f"The sitting {sitting.start} of {sitting.task} on {sitting.panel}"


def bounds_in_slots(task: Task, slot: timedelta) -> tuple[int, int]:
    """Return the shortest and longest sitting in slots, rounded as `Task` says."""
    minutes = slot // MINUTE
    shortest = (task.shortest + minutes - 1) // minutes
    return shortest, max(shortest, task.longest // minutes)


def room(
    person: Person,
    since: datetime,
    slot: timedelta,
    taken: list[tuple[datetime, datetime]],
) -> int:
    """Return the most whole slots in a row her windows hold from a moment on, `taken` left out."""
    spaces = [part for window in person.windows for part in open_parts(window, taken)]
    return max((_holds(space, since, slot) for space in spaces), default=0)


def _holds(window: Window, since: datetime, slot: timedelta) -> int:
    start = max(window.start, since)
    start += -(start - START) % slot
    return max(0, (window.end - start) // slot)


def open_parts(window: Window, taken: list[tuple[datetime, datetime]]) -> Iterator[Window]:
    """Return a window without what is taken of it, part by part."""
    start = window.start
    for begins, ends in sorted(taken):
        if begins < window.end and ends > start:
            if begins > start:
                yield Window(start, begins)
            start = ends
    if start < window.end:
        yield Window(start, window.end)


def started_day(person: Person, moment: datetime) -> datetime:
    """Return the opening of the working day a moment is in: the last after a night's closing."""
    opening = START
    closed: datetime | None = None
    for window in person.windows:
        if window.start > moment:
            break
        if closed is None or window.start - closed >= NIGHT:
            opening = window.start
        closed = window.end
    return opening


def pinned(problem: Problem, plan: Plan) -> frozenset[PlannedSitting]:
    """Return the sittings that stand where a pin of the problem holds them."""
    pins = [pin for pin in problem.pins if pin.start >= problem.now]
    return frozenset(
        sitting for sitting in plan.sittings if any(holds(pin, sitting) for pin in pins)
    )


def holds(pin: Pin, sitting: PlannedSitting) -> bool:
    """Say whether a sitting is the one that a pin holds."""
    return (sitting.panel, sitting.task, sitting.person, sitting.start, sitting.end) == (
        pin.panel,
        pin.task,
        pin.person,
        pin.start,
        pin.end,
    )
