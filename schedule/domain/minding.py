"""What to mind on which day: the cautions of the work that is planned."""

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date, datetime, timedelta

from jobs.domain.cautions import stage_cautions
from jobs.paint.cautions import Caution, cautions
from schedule.models import PlannedSitting
from studio.formats import local
from studio.models import Studio

COMING = timedelta(days=7)
"""How far ahead days are told one by one."""


@dataclass(frozen=True)
class DayToMind:
    """A local day and the cautions of its sittings, each once, in the order of their table."""

    day: date
    cautions: tuple[Caution, ...]


@dataclass(frozen=True)
class Minding:
    """The coming days on which something is to be minded, and their cautions, each once."""

    days: tuple[DayToMind, ...]

    @property
    def cautions(self) -> tuple[Caution, ...]:
        return _in_order(one for day in self.days for one in day.cautions)


def minding(sittings: Iterable[PlannedSitting], *, studio: Studio, now: datetime) -> Minding:
    """Return what to mind in the coming week; sittings in order, with their stage's mix."""
    called: dict[date, set[Caution]] = {}
    for sitting in sittings:
        if sitting.start < now + COMING:
            # What is under way since yesterday is minded today.
            day = local(max(sitting.start, now), studio).date()
            called.setdefault(day, set()).update(stage_cautions(sitting.stage))
    return Minding(
        tuple(DayToMind(day, _in_order(found)) for day, found in called.items() if found)
    )


def _in_order(called: Iterable[Caution]) -> tuple[Caution, ...]:
    found = set(called)
    return tuple(one for one in cautions().values() if one in found)
