"""How far hours and drying may turn out otherwise than planned, as lognormals."""

from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import datetime, timedelta

from schedule.engine.calendar import require_utc

HOURS_SPREAD = 0.35
"""Sigma of the logarithm of one task's hours about those planned: two in three lie between 0.7 and
1.4 times. Common practice, no source; to be learnt from her own log."""
HOURS_IN_COMMON = 0.12
"""Sigma of what all hours share: she is quicker or slower at everything than she reckoned. Common
practice, no source."""
DRYING_SPREAD = 0.35
"""Sigma of the logarithm of a wait whose own is not known. Common practice, no source."""
DRYING_IN_COMMON = 0.15
"""Sigma of what all waits share: the air of the room over the months. Common practice, no
source."""

TaskKey = tuple[str, str]
"""The keys of a panel and of a task on it."""


def _require_spread(sigma: float) -> None:
    if not 0 <= sigma <= 3:
        raise ValueError(f"A spread is the sigma of a logarithm, from 0 to 3, not {sigma}.")


@dataclass(frozen=True, slots=True)
class Wait:
    """A gate's wait as a lognormal: its median, the sigma of its logarithm, and a floor `least`.

    Raises ValueError for a wait below nothing or a sigma beyond 0 to 3.
    """

    median: timedelta
    sigma: float
    least: timedelta = timedelta(0)

    def __post_init__(self) -> None:
        _require_spread(self.sigma)
        if min(self.median, self.least) < timedelta(0):
            raise ValueError("A wait cannot be less than nothing.")


@dataclass(frozen=True, slots=True)
class Drying:
    """A gate that runs already: its wait, since when (UTC), and how long the coat was found wet."""

    wait: Wait
    since: datetime
    found_wet: timedelta = timedelta(0)

    def __post_init__(self) -> None:
        require_utc(self.since, "The start of a wait")


@dataclass(frozen=True, slots=True)
class Doubt:
    """What is uncertain about a problem.

    `hours` and `drying` are the sigma of a task and of a gate not named by itself: such a gate's
    own `median` and `sigma` count, or else its planned wait is taken for its median. `of_tasks` and
    `of_gates` name tasks and the gates after them, `of_panels` the gates that run already, by
    panel: what `Panel.opens` only counts on. Planned hours are medians. Raises ValueError for a
    sigma beyond 0 to 3.
    """

    hours: float = HOURS_SPREAD
    hours_in_common: float = HOURS_IN_COMMON
    drying: float = DRYING_SPREAD
    drying_in_common: float = DRYING_IN_COMMON
    of_tasks: Mapping[TaskKey, float] = field(default_factory=dict)
    of_gates: Mapping[TaskKey, Wait] = field(default_factory=dict)
    of_panels: Mapping[str, Drying] = field(default_factory=dict)

    def __post_init__(self) -> None:
        for sigma in (self.hours, self.hours_in_common, self.drying, self.drying_in_common):
            _require_spread(sigma)
        for sigma in self.of_tasks.values():
            _require_spread(sigma)
