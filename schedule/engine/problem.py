"""What is to be planned: people, commissions, panels and the work left on them, as plain data."""

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import UTC, datetime, timedelta
from itertools import pairwise

from schedule.engine.calendar import Window, require_utc

LONGEST_WAIT = timedelta(days=3660)
"""Ten years: beyond the life of any programme, and short enough for the arithmetic of dates."""
EPOCH = datetime(1970, 1, 1, tzinfo=UTC)
NIGHT = timedelta(hours=6)
"""Closed hours this long end a working day, whatever the zone; shorter ones are a break in it, over
which a palette keeps. Common practice, no source."""
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

    `calendar.merged` puts any windows into that form. `skills` are what she can do beyond the
    work that asks for none. Raises ValueError naming the person.
    """

    key: str
    windows: tuple[Window, ...]
    skills: frozenset[str] = frozenset()

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

    `kind` is the drying gate's key (touch-dry, recoat, through-dry, cured). `wet` is how long of
    the wait nothing may touch the coat: so long the face cannot be laid down, and a removable part
    stays on the rack; None is the whole wait. `median` (clock time) and `sigma` (the spread of its
    logarithm) are for a promise, which plays the wait many times; a plan counts on `wait`. Raises
    ValueError for a wait below nothing or above ten years, a `wet` outside the wait, a median that
    is not above nothing or a spread below it.
    """

    kind: str
    wait: timedelta
    wet: timedelta | None = None
    median: timedelta | None = None
    sigma: float | None = None

    def __post_init__(self) -> None:
        if self.wait < timedelta(0):
            raise ValueError(f"Gate {self.kind!r}: a wait cannot be less than nothing.")
        if self.wait > LONGEST_WAIT:
            raise ValueError(f"Gate {self.kind!r}: a wait of over ten years cannot be planned.")
        if self.wet is not None and not timedelta(0) <= self.wet <= self.wait:
            raise ValueError(f"Gate {self.kind!r}: it can be wet for no longer than the wait.")
        if self.median is not None and self.median <= timedelta(0):
            raise ValueError(f"Gate {self.kind!r}: the median wait must be above nothing.")
        if self.sigma is not None and self.sigma < 0:
            raise ValueError(f"Gate {self.kind!r}: a spread cannot be less than nothing.")

    @property
    def touchable(self) -> timedelta:
        """How long after the coat it may be laid on and need no place on the rack any more."""
        return self.wait if self.wet is None else self.wet


@dataclass(frozen=True, slots=True)
class Task:
    """One coat of a stage: hands-on work by one person, then a gate.

    `minutes` is the hands-on work left; 0 is a wait only, counted from the moment the task may
    start. `shortest` and `longest` bound one sitting, in minutes; the planner takes them in whole
    slots, the shortest rounded up, the longest rounded down but never under the shortest.
    `begun_by` is the person at work on it this minute: it goes on at once, before all else, and
    has at least a minute left.

    `skill` is what its person must be able to do ("" for anybody). `mix` is the key of the paint
    it is done with ("" for none); of its minutes, `set_up` fall away when the same person has had
    that mix on her palette earlier on the same working day. `within` is a maximum wait, in clock
    time: this task is worked into the one before it while that is wet, by the same person, and
    its last sitting ends no later than so long after the end of the one before. `not_before` is an
    earliest start of its own: material delivered, a colour approved. Raises ValueError naming the
    task.
    """

    key: str
    minutes: int
    shortest: int
    longest: int
    gate: Gate | None = None
    begun_by: str = ""
    skill: str = ""
    mix: str = ""
    set_up: int = 0
    within: timedelta | None = None
    not_before: datetime | None = None

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
        if self.set_up < 0 or (self.set_up and self.set_up >= self.minutes):
            raise ValueError(
                f"Task {self.key!r}: the set-up, {self.set_up} min, must leave some of its "
                f"{self.minutes} min for the work."
            )
        if self.within is not None and not (self.minutes and timedelta(0) < self.within):
            raise ValueError(
                f"Task {self.key!r}: what is worked into a wet coat takes time, and has some."
            )
        if self.not_before is not None:
            require_utc(self.not_before, f"Task {self.key!r}: the earliest start")


@dataclass(frozen=True, slots=True)
class Panel:
    """One painted area of a commission with the tasks left on it, in order.

    `opens` is the instant before which its first remaining task may not start: a gate already
    running. A panel with no tasks left is kept while it dries, its `opens` being the instant its
    last gate opens. `not_before` is when its first remaining task may start at the earliest for
    another reason: the piece arrives, the design is approved.

    `face` is the key of the fixed face it lies on ("" for none). `rack` says it is a removable
    part, which dries on the rack; panels of one `part` share its place ("" for a part of its own).
    `touched` is the last hands-on instant before now, from which a
    `within` at its head counts and which makes the piece begun; `wet_until` ends the time nothing
    may touch that coat, None for as long as it has not opened. Raises ValueError naming the panel.
    """

    key: str
    commission: str
    tasks: tuple[Task, ...]
    opens: datetime | None = None
    not_before: datetime | None = None
    face: str = ""
    rack: bool = False
    part: str = ""
    touched: datetime | None = None
    wet_until: datetime | None = None

    def __post_init__(self) -> None:
        _require_key(self.key, "panel")
        _require_different((task.key for task in self.tasks), f"tasks of panel {self.key!r}")
        for moment, name in (
            (self.opens, "the instant it opens"),
            (self.not_before, "the earliest start"),
            (self.touched, "the instant it was last touched"),
            (self.wet_until, "the end of its being wet"),
        ):
            if moment is not None:
                require_utc(moment, f"Panel {self.key!r}: {name}")
        for before, task in pairwise(self.tasks):
            if task.within is not None and not before.minutes:
                raise ValueError(
                    f"Panel {self.key!r}: {task.key!r} is worked into {before.key!r}, which lays "
                    "nothing."
                )
        for task in self.tasks[1:]:
            if task.begun_by:
                raise ValueError(
                    f"Panel {self.key!r}: only its first task can be begun, not {task.key!r}."
                )

    @property
    def place(self) -> str:
        """The key of the part whose place on the rack it takes."""
        return self.part or self.key


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
class Face:
    """A face of a fixed piece, and the faces it is laid on while this one is worked flat.

    Nothing is done on it while a face of `lies_on` is wet or being worked. Raises ValueError for a
    face that would lie on itself.
    """

    key: str
    lies_on: tuple[str, ...] = ()

    def __post_init__(self) -> None:
        _require_key(self.key, "face")
        if self.key in self.lies_on:
            raise ValueError(f"Face {self.key!r} cannot be laid on itself.")


@dataclass(frozen=True, slots=True)
class Pin:
    """A sitting that stays where it is: of `task` on `panel`, by `person`, `start` to `end` (UTC).

    The painter's own word goes before windows, skills and bounds of a sitting, never before a wet
    coat. One that is not `firm` is kept from an older plan, and gives way without a word. Raises
    ValueError naming the task.
    """

    panel: str
    task: str
    person: str
    start: datetime
    end: datetime
    firm: bool = True

    def __post_init__(self) -> None:
        require_utc(self.start, f"The pin of {self.task!r}: its start")
        require_utc(self.end, f"The pin of {self.task!r}: its end")
        if self.end <= self.start:
            raise ValueError(f"The pin of {self.task!r} on {self.panel!r} ends before it starts.")


@dataclass(frozen=True, slots=True)
class Problem:
    """All that is to be planned from `now` on.

    `slot` is the grain of the plan, whole minutes up to a day: sittings start and end on its
    multiples, counted from the epoch in UTC (15 minutes fall on the quarter hour in every zone).
    `rack` is how many removable parts may be drying at once, None for as many as there are. Pins
    that start before now are past and count for nothing. Before the instant `freeze` the sittings
    of an older plan stay as far as they can (see `calm.held`). Raises ValueError, naming the item,
    for repeated keys, an unknown commission, face, person or task, a pin off the slots, or a
    sitting begun by someone unknown or already at work elsewhere.
    """

    now: datetime
    people: tuple[Person, ...]
    commissions: tuple[Commission, ...]
    panels: tuple[Panel, ...]
    slot: timedelta = SLOT
    faces: tuple[Face, ...] = ()
    rack: int | None = None
    pins: tuple[Pin, ...] = ()
    freeze: datetime | None = None

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
        if self.rack is not None and self.rack < 1:
            raise ValueError("The rack must have room for at least one part.")
        if self.freeze is not None:
            require_utc(self.freeze, "The end of the frozen time")
        self._require_known_faces()
        self._require_known_pins()
        self._require_free_hands()

    def _require_known_faces(self) -> None:
        _require_different((face.key for face in self.faces), "faces")
        known = {face.key for face in self.faces}
        for panel in self.panels:
            if panel.face and panel.face not in known:
                raise ValueError(f"Panel {panel.key!r} is on an unknown face {panel.face!r}.")
        for face in self.faces:
            for other in face.lies_on:
                if other not in known:
                    raise ValueError(f"Face {face.key!r} lies on an unknown face {other!r}.")

    def _require_known_pins(self) -> None:
        known = {(panel.key, task.key): task for panel in self.panels for task in panel.tasks}
        hands = {person.key for person in self.people}
        for pin in self.pins:
            task = known.get((pin.panel, pin.task))
            if task is None or not task.minutes:
                raise ValueError(f"The pin of {pin.task!r} on {pin.panel!r} is of no work left.")
            if pin.person not in hands:
                raise ValueError(f"The pin of {pin.task!r} is by {pin.person!r}, who is unknown.")
            if (pin.start - EPOCH) % self.slot or (pin.end - EPOCH) % self.slot:
                raise ValueError(
                    f"The pin of {pin.task!r} on {pin.panel!r} must start and end on the slots."
                )

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
