"""What the planner answers: sittings, gates, finishes and troubles, as plain data."""

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
    BEYOND = "beyond"
    LATE = "late"


@dataclass(frozen=True, slots=True)
class Trouble:
    """Something the plan cannot do.

    The first three kinds stand for the whole problem and have no keys. `minutes` is, for NO_FIT,
    the shortest sitting that fits no window; for BEYOND, the panel's hands-on minutes left
    unplanned, from `task` on; for LATE, how late the commission is (clock time, rounded up).
    """

    kind: TroubleKind
    commission: str = ""
    panel: str = ""
    task: str = ""
    minutes: int = 0

    @property
    def sentence(self) -> str:
        """The trouble in a painter's words, things called by their keys."""
        return self.told(commission=self.commission, panel=self.panel, task=self.task)

    def told(self, *, commission: str, panel: str, task: str) -> str:
        """Return the trouble in a painter's words, things called by the names given."""
        length = work_spoken(self.minutes)
        match self.kind:
            case TroubleKind.NO_PEOPLE:
                return "There is nobody to do the work, so nothing can be planned."
            case TroubleKind.NO_HOURS:
                return "There are no working hours, so nothing can be planned."
            case TroubleKind.HOURS_PAST:
                return "All working hours lie in the past, so nothing can be planned."
            case TroubleKind.NO_FIT:
                return (
                    f"{commission}, {panel}: {task} needs {length} at one sitting, and no working "
                    "hours are that long. It and what follows on this panel are not planned."
                )
            case TroubleKind.BEYOND:
                return (
                    f"{commission}, {panel}: from {task} on, {length} of work do not fit before "
                    "the last working hours known, and are not planned."
                )
            case TroubleKind.LATE:
                return f"{commission} will be late by {delay_spoken(self.minutes)}."


@dataclass(frozen=True, slots=True)
class Plan:
    """The answer: sittings by start, gates by opening, finishes in the order of the commissions."""

    sittings: tuple[PlannedSitting, ...]
    gates: tuple[PlannedGate, ...]
    finishes: tuple[Finish, ...]
    troubles: tuple[Trouble, ...]


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
