"""What is to be planned: people, commissions, panels and the work left on them, as plain data."""

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import datetime, timedelta

from schedule.engine.calendar import Window, require_utc

LONGEST_WAIT = timedelta(days=3660)
"""Ten years: beyond the life of any programme, and short enough for the arithmetic of dates."""
SLOT = timedelta(minutes=15)
"""The usual grain of a plan: a quarter of an hour is as fine as a day at the bench is told. Common
practice, no source."""


def _require_key(key: str, thing: str) -> None:
    if not key:
        raise ValueError(f"A {thing} needs a key.")


def _require_different(keys: Iterable[str], thing: str) -> None:
    seen: set[str] = set()
    for key in keys:
        if key in seen:
            raise ValueError(f"Two {thing} have the same key {key!r}.")
        seen.add(key)


@dataclass(frozen=True, slots=True)
class Person:
    """Someone who paints, with her working windows: in order, neither overlapping nor touching.

    `calendar.merged` puts any windows into that form. Raises ValueError naming the person.
    """

    key: str
    windows: tuple[Window, ...]

    def __post_init__(self) -> None:
        _require_key(self.key, "person")
        for earlier, later in zip(self.windows, self.windows[1:], strict=False):
            if later.start <= earlier.end:
                raise ValueError(
                    f"Person {self.key!r}: the windows must be in order and apart, but one "
                    f"starting {later.start} follows one ending {earlier.end}."
                )


@dataclass(frozen=True, slots=True)
class Gate:
    """The least wait after the last hands-on minute of a task, in clock time through the nights.

    `kind` is the drying gate's key (touch-dry, recoat, through-dry, cured). Raises ValueError for
    a wait below nothing or above ten years.
    """

    kind: str
    wait: timedelta

    def __post_init__(self) -> None:
        if self.wait < timedelta(0):
            raise ValueError(f"Gate {self.kind!r}: a wait cannot be less than nothing.")
        if self.wait > LONGEST_WAIT:
            raise ValueError(f"Gate {self.kind!r}: a wait of over ten years cannot be planned.")


@dataclass(frozen=True, slots=True)
class Task:
    """One coat of a stage: hands-on work by one person, then a gate.

    `minutes` is the hands-on work left; 0 is a wait only, counted from the moment the task may
    start. `shortest` and `longest` bound one sitting, in minutes; the planner takes them in whole
    slots, the shortest rounded up, the longest rounded down but never under the shortest.
    `begun_by` is the person at work on it this minute: it goes on at once, before all else, and
    has at least a minute left. Raises ValueError naming the task.
    """

    key: str
    minutes: int
    shortest: int
    longest: int
    gate: Gate | None = None
    begun_by: str = ""

    def __post_init__(self) -> None:
        _require_key(self.key, "task")
        if self.minutes < 0:
            raise ValueError(f"Task {self.key!r}: the minutes left cannot be less than nothing.")
        if self.shortest < 1:
            raise ValueError(f"Task {self.key!r}: the shortest sitting must be at least a minute.")
        if self.longest < self.shortest:
            raise ValueError(
                f"Task {self.key!r}: the longest sitting, {self.longest} min, is shorter than the "
                f"shortest, {self.shortest} min."
            )
        if self.begun_by and self.minutes == 0:
            raise ValueError(f"Task {self.key!r}: a sitting at work has at least a minute left.")


@dataclass(frozen=True, slots=True)
class Panel:
    """One painted area of a commission with the tasks left on it, in order.

    `opens` is the instant before which its first remaining task may not start: a gate already
    running. A panel with no tasks left is kept while it dries, its `opens` being the instant its
    last gate opens. Raises ValueError naming the panel.
    """

    key: str
    commission: str
    tasks: tuple[Task, ...]
    opens: datetime | None = None

    def __post_init__(self) -> None:
        _require_key(self.key, "panel")
        _require_different((task.key for task in self.tasks), f"tasks of panel {self.key!r}")
        if self.opens is not None:
            require_utc(self.opens, f"Panel {self.key!r}: the instant it opens")
        for task in self.tasks[1:]:
            if task.begun_by:
                raise ValueError(
                    f"Panel {self.key!r}: only its first task can be begun, not {task.key!r}."
                )


@dataclass(frozen=True, slots=True)
class Commission:
    """A commission with the instant it is wanted by, if any, and its weight against others.

    Raises ValueError naming the commission when the weight is not above nothing.
    """

    key: str
    wanted: datetime | None = None
    weight: int = 1

    def __post_init__(self) -> None:
        _require_key(self.key, "commission")
        if self.wanted is not None:
            require_utc(self.wanted, f"Commission {self.key!r}: the wanted instant")
        if self.weight <= 0:
            raise ValueError(f"Commission {self.key!r}: the weight must be above nothing.")


@dataclass(frozen=True, slots=True)
class Problem:
    """All that is to be planned from `now` on.

    `slot` is the grain of the plan, whole minutes up to a day: sittings start and end on its
    multiples, counted from the epoch in UTC (15 minutes fall on the quarter hour in every zone).
    Raises ValueError, naming the item, for repeated keys, a panel of an unknown commission, or a
    sitting begun by someone unknown or already at work elsewhere.
    """

    now: datetime
    people: tuple[Person, ...]
    commissions: tuple[Commission, ...]
    panels: tuple[Panel, ...]
    slot: timedelta = SLOT

    def __post_init__(self) -> None:
        require_utc(self.now, "The present")
        if not timedelta(0) < self.slot <= timedelta(days=1) or self.slot % timedelta(minutes=1):
            raise ValueError(f"A slot is whole minutes, at most a day, not {self.slot}.")
        _require_different((person.key for person in self.people), "people")
        _require_different((commission.key for commission in self.commissions), "commissions")
        _require_different((panel.key for panel in self.panels), "panels")
        known = {commission.key for commission in self.commissions}
        for panel in self.panels:
            if panel.commission not in known:
                raise ValueError(
                    f"Panel {panel.key!r} is of an unknown commission {panel.commission!r}."
                )
        self._require_free_hands()

    def _require_free_hands(self) -> None:
        hands = {person.key: "" for person in self.people}
        for panel in self.panels:
            begun_by = panel.tasks[0].begun_by if panel.tasks else ""
            if not begun_by:
                continue
            if begun_by not in hands:
                raise ValueError(f"Panel {panel.key!r} was begun by {begun_by!r}, who is unknown.")
            if hands[begun_by]:
                raise ValueError(
                    f"Person {begun_by!r} cannot be at work on panels {hands[begun_by]!r} and "
                    f"{panel.key!r} at once."
                )
            hands[begun_by] = panel.key
