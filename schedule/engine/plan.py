"""What the planner answers: sittings, gates, finishes and troubles, as plain data."""

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import datetime, timedelta
from enum import StrEnum

HOUR = 60
DAY = 24 * HOUR


@dataclass(frozen=True, slots=True)
class PlannedSitting:
    """One stint of hands-on work, from `start` up to `end` (aware UTC)."""

    task: str
    panel: str
    commission: str
    person: str
    start: datetime
    end: datetime


@dataclass(frozen=True, slots=True)
class PlannedGate:
    """The instant a planned task's gate opens (aware UTC)."""

    task: str
    panel: str
    commission: str
    kind: str
    opens: datetime


@dataclass(frozen=True, slots=True)
class Finish:
    """When a commission's last gate has opened, and how late that is.

    `finish` is None when some of its work could not be planned or it has no panels; `late` is
    then zero, as it is without a wanted instant. A commission whose panels are all done and dry
    finishes when its last known gate opened, or now.
    """

    commission: str
    finish: datetime | None
    late: timedelta


class TroubleKind(StrEnum):
    """What can stand in the way of a plan."""

    NO_PEOPLE = "no-people"
    NO_HOURS = "no-hours"
    HOURS_PAST = "hours-past"
    NO_FIT = "no-fit"
    NO_SKILL = "no-skill"
    AWAY = "away"
    WET = "wet"
    SET = "set"
    PIN_CLASH = "pin-clash"
    PIN_EARLY = "pin-early"
    PIN_SHUT = "pin-shut"
    BEYOND = "beyond"
    LATE = "late"


OF_PINS = frozenset({TroubleKind.PIN_CLASH, TroubleKind.PIN_EARLY, TroubleKind.PIN_SHUT})
"""Those of a sitting that the painter fixed and that is not kept."""
OF_ONE = {
    TroubleKind.NO_PEOPLE: "There is nobody to do the work, so nothing can be planned.",
    TroubleKind.NO_HOURS: "There are no working hours, so nothing can be planned.",
    TroubleKind.HOURS_PAST: "All working hours lie in the past, so nothing can be planned.",
    TroubleKind.NO_FIT: (
        "{commission}, {panel}: {task} needs {length} at one sitting, and no working hours are "
        "that long. It and what follows on this panel are not planned."
    ),
    TroubleKind.NO_SKILL: (
        "{commission}, {panel}: nobody can do {task}. It and what follows on this panel are not "
        "planned."
    ),
    TroubleKind.AWAY: (
        "{commission}, {panel}: whoever can do {task} has no working hours to come. It and what "
        "follows on this panel are not planned."
    ),
    TroubleKind.WET: (
        "{commission}, {panel}: {task} and what is worked into it wet fit no working hours. "
        "Neither, nor what follows, is planned."
    ),
    TroubleKind.SET: (
        "{commission}, {panel}: {task} must be finished within {length} of the coat beneath, "
        "which will have set by then. It and what follows are not planned."
    ),
    TroubleKind.PIN_CLASH: (
        "{commission}, {panel}: two sittings that you fixed collide. One of {task} is not kept."
    ),
    TroubleKind.PIN_EARLY: (
        "{commission}, {panel}: the sitting of {task} cannot be where you fixed it. It is planned "
        "elsewhere."
    ),
    TroubleKind.PIN_SHUT: (
        "{commission}, {panel}: the sitting of {task} that you fixed comes before it may be begun: "
        "a coat beneath it still dries, or something it needs is not there yet. It is planned "
        "elsewhere."
    ),
    TroubleKind.BEYOND: (
        "{commission}, {panel}: from {task} on, {length} of work do not fit before the last "
        "working hours known, and are not planned."
    ),
    TroubleKind.LATE: "{commission} will be late by {delay}.",
}
OF_TWO = {
    TroubleKind.NO_SKILL: (
        "{commission}, {panel}: nobody can do both {task} and {other}, which is worked into it "
        "while it is wet. Neither, nor what follows, is planned."
    ),
    TroubleKind.WET: (
        "{commission}, {panel}: {other} must be finished within {length} of {task}, and no "
        "working hours allow that. Neither, nor what follows, is planned."
    ),
    TroubleKind.PIN_CLASH: (
        "{commission}, {panel}: the sitting of {task} that you fixed collides with the fixed "
        "sitting of {other}. Only the latter is kept where you put it."
    ),
    TroubleKind.PIN_EARLY: (
        "{commission}, {panel}: the sitting of {task} that you fixed comes before {other} can be "
        "done and dry. It is planned elsewhere."
    ),
}
OF_MORE = {
    TroubleKind.NO_SKILL: (
        "{commission}, {panel}: no one person can do {together} while the paint is wet. From "
        "{task} on, nothing is planned."
    ),
    TroubleKind.WET: (
        "{commission}, {panel}: no working hours hold {together} in one go, wet into wet. From "
        "{task} on, nothing is planned."
    ),
    TroubleKind.PIN_EARLY: (
        "{commission}, {panel}: the sitting of {task} that you fixed comes before {together} can "
        "all be done and dry. It is planned elsewhere."
    ),
}


@dataclass(frozen=True, slots=True)
class Trouble:
    """Something the plan cannot do, with the smallest set of things that cannot all hold.

    The first three kinds stand for the whole problem and have no keys. `minutes` is, for NO_FIT,
    the shortest sitting that fits no window; for BEYOND, the panel's hands-on minutes left
    unplanned, from `task` on; for LATE, how late the commission is (clock time, rounded up); for
    WET and SET, the maximum wait.

    `other_panel` and `other_task` are what it cannot go together with: for WET, the task worked
    into `task` while that is wet (they fit no working hours together; neither is planned); for
    NO_SKILL, the one that the same person would have to be able to do; for PIN_CLASH, the pin that
    is kept; for PIN_EARLY, what is not done or not dry by the pin (none where the person or the
    task is taken; PIN_SHUT is for what still dries beneath it or is not there yet). SET: what
    `task` was to be worked into has set before anybody can get to it.

    `together`, by panel and task, is the set where it is not just `task` and `other_task`: for WET
    and NO_SKILL those in a wet run that fit no hours or hands together, `task` being only from
    where nothing is planned; for PIN_EARLY all that cannot be done and dry before the pin. Were any
    one of the set not so (not worked in wet, not to be done first), the others could be.
    """

    kind: TroubleKind
    commission: str = ""
    panel: str = ""
    task: str = ""
    minutes: int = 0
    other_panel: str = ""
    other_task: str = ""
    together: tuple[tuple[str, str], ...] = ()

    @property
    def sentence(self) -> str:
        """The trouble in a painter's words, things called by their keys."""
        other = f"{self.other_task} on {self.other_panel}" if self.other_task else ""
        return self.told(
            commission=self.commission,
            panel=self.panel,
            task=self.task,
            other=other,
            together=listed(task for _, task in self.together),
        )

    def told(
        self, *, commission: str, panel: str, task: str, other: str = "", together: str = ""
    ) -> str:
        """Return the trouble in a painter's words, things called by the names given.

        `other` names the other task with its panel, `together` lists those of `together`.
        """
        words = (OF_TWO if other else {}).get(self.kind, OF_ONE[self.kind])
        words = (OF_MORE if together else {}).get(self.kind, words)
        return words.format(
            commission=commission,
            panel=panel,
            task=task,
            other=other,
            together=together,
            length=work_spoken(self.minutes),
            delay=delay_spoken(self.minutes),
        )


@dataclass(frozen=True, slots=True)
class Plan:
    """The answer: sittings by start, gates by opening, finishes in the order of the commissions."""

    sittings: tuple[PlannedSitting, ...]
    gates: tuple[PlannedGate, ...]
    finishes: tuple[Finish, ...]
    troubles: tuple[Trouble, ...]


def listed(names: Iterable[str]) -> str:
    """Return names as a list in words: 'prime', 'prime and paint', 'prime, paint and varnish'."""
    *before, last = [*names] or [""]
    return f"{', '.join(before)} and {last}" if before else last


def work_spoken(minutes: int) -> str:
    """Return a length of hands-on work in words: '45 min', '2 h 30 min', '30 h'."""
    hours, left = divmod(minutes, HOUR)
    parts = [f"{hours} h" if hours else "", f"{left} min" if left or not hours else ""]
    return " ".join(part for part in parts if part)


def delay_spoken(minutes: int) -> str:
    """Return a length of clock time in words: '2 h 30 min', '1 day', '3 days 4 h'.

    From a day up it is rounded up to whole hours.
    """
    if minutes < DAY:
        return work_spoken(minutes)
    days, hours = divmod(-(-minutes // HOUR), DAY // HOUR)
    return f"{days} day{'s' if days > 1 else ''}" + (f" {hours} h" if hours else "")
