"""What is put to the constraint solver: tasks, lags, resources and deliveries, as plain data.

Time is in whole steps from 0 to the horizon; what a step is, the caller knows (a slot, a minute).
"""

from collections.abc import Iterable
from dataclasses import dataclass
from itertools import chain

Span = tuple[int, int]
"""Steps from the first up to, but not including, the second."""


@dataclass(frozen=True, slots=True)
class Task:
    """A stretch of time whose start, and within its range whose size, is to be chosen.

    `least` and `most` bound its size in steps. `starts` are the spans its start must lie in; none
    means anywhere. `start` fixes it. One that `may_be_empty` may also have size nothing: it then
    takes no room on a resource and may lie anywhere up to the horizon, but its lags still hold
    unless they say otherwise. It is empty whenever the task it `needs` is. Raises ValueError naming
    the task.
    """

    key: str
    least: int
    most: int
    starts: tuple[Span, ...] = ()
    start: int | None = None
    may_be_empty: bool = False
    needs: str = ""

    def __post_init__(self) -> None:
        if not self.key:
            raise ValueError("A task needs a key.")
        if not 0 <= self.least <= self.most:
            raise ValueError(f"Task {self.key!r}: its size is {self.least} to {self.most}.")
        if any(end <= first for first, end in self.starts):
            raise ValueError(f"Task {self.key!r}: a span of starts must end after it begins.")
        if self.start is not None and self.start < 0:
            raise ValueError(f"Task {self.key!r}: its start lies before the first step.")


@dataclass(frozen=True, slots=True)
class Lag:
    """How many steps lie between the starts of two tasks: from `least` to `most`, None for no end.

    Either may be below nothing, so a most without a least holds the second back to the first.
    `from_end` counts from the end of the first, `to_end` up to the end of the second. With
    `unless_empty` it does not hold while either of them is of size nothing.
    """

    first: str
    second: str
    least: int | None = None
    most: int | None = None
    from_end: bool = False
    to_end: bool = False
    unless_empty: bool = False


@dataclass(frozen=True, slots=True)
class Total:
    """Tasks whose sizes come to `steps` together: the sittings a stage is cut into."""

    tasks: tuple[str, ...]
    steps: int


@dataclass(frozen=True, slots=True)
class Unary:
    """A pair of hands: one of its tasks at a time, and none while it is closed.

    Raises ValueError for a closed span without length.
    """

    tasks: tuple[str, ...]
    closed: tuple[Span, ...] = ()

    def __post_init__(self) -> None:
        if any(end <= first for first, end in self.closed):
            raise ValueError("A closed span must end after it begins.")


@dataclass(frozen=True, slots=True)
class Cumulative:
    """Room for `capacity`, of which each task takes its demand for as long as it lasts."""

    capacity: int
    demands: tuple[tuple[str, int], ...]


@dataclass(frozen=True, slots=True)
class Exclusive:
    """Faces of which only one may be in use: no task of one overlaps a task of another.

    Tasks of the same face may overlap.
    """

    faces: tuple[tuple[str, ...], ...]


@dataclass(frozen=True, slots=True)
class Delivery:
    """What is over when the last of its tasks has ended, each with the steps it still waits after.

    Costs `finish` for each step until then, and `late` for each step after `wanted`. That it is not
    over before `soonest` is known beforehand, which spares the solver the proof.
    """

    ends: tuple[tuple[str, int], ...]
    wanted: int | None = None
    late: int = 0
    finish: int = 1
    soonest: int = 0

    def cost(self, over: int) -> int:
        """Return what it costs to be over at a step."""
        lateness = 0 if self.wanted is None else max(0, over - self.wanted)
        return self.finish * over + self.late * lateness


@dataclass(frozen=True, slots=True)
class Model:
    """All that is put to the solver; the cost to be made small is that of all deliveries.

    Every task ends at the `horizon` or before. Raises ValueError for a repeated key, a key that
    is not a task's, or a weight below nothing.
    """

    horizon: int
    tasks: tuple[Task, ...]
    lags: tuple[Lag, ...] = ()
    totals: tuple[Total, ...] = ()
    unary: tuple[Unary, ...] = ()
    cumulative: tuple[Cumulative, ...] = ()
    exclusive: tuple[Exclusive, ...] = ()
    deliveries: tuple[Delivery, ...] = ()

    def __post_init__(self) -> None:
        known = {task.key for task in self.tasks}
        if len(known) < len(self.tasks):
            raise ValueError("Two tasks have the same key.")
        if strange := sorted(set(self._named()) - known):
            raise ValueError(f"Not a task: {', '.join(strange)}.")
        if any(delivery.late < 0 or delivery.finish < 0 for delivery in self.deliveries):
            raise ValueError("A delivery's weights cannot be below nothing.")
        if any(demand < 0 for room in self.cumulative for _, demand in room.demands):
            raise ValueError("A demand cannot be below nothing.")

    def _named(self) -> Iterable[str]:
        return chain(
            (task.needs for task in self.tasks if task.needs),
            chain.from_iterable((lag.first, lag.second) for lag in self.lags),
            chain.from_iterable(total.tasks for total in self.totals),
            chain.from_iterable(hands.tasks for hands in self.unary),
            (key for room in self.cumulative for key, _ in room.demands),
            (key for exclusive in self.exclusive for face in exclusive.faces for key in face),
            (key for delivery in self.deliveries for key, _ in delivery.ends),
        )
