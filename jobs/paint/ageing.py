"""How old a coat is in a room that changed: told in hours of the room as it is now."""

from dataclasses import dataclass
from datetime import datetime, timedelta


@dataclass(frozen=True)
class Ageing:
    """A coat laid at `since` that dried at other paces than now before some instants.

    `bends` are (until, pace) in order, each `until` after `since`: before it an hour counted as
    `pace` hours of the room as it is now, 0.5 where paint dried half as fast. After the last an
    hour is an hour. Instants are aware.
    """

    since: datetime
    bends: tuple[tuple[datetime, float], ...] = ()

    def age(self, at: datetime) -> timedelta:
        """Return for how long of the room as it is now the coat has dried at an instant."""
        aged, start = timedelta(0), self.since
        for until, pace in self.bends:
            if at <= until:
                return aged + (at - start) * pace
            aged, start = aged + (until - start) * pace, until
        return aged + (at - start)

    def when(self, age: timedelta) -> datetime:
        """Return at which instant the coat is of such an age."""
        aged, start = timedelta(0), self.since
        for until, pace in self.bends:
            here = (until - start) * pace
            if aged + here >= age:
                return start + (age - aged) / pace
            aged, start = aged + here, until
        return start + (age - aged)

    @property
    def as_if_since(self) -> datetime:
        """Return since when it would have dried in the room as it is now, to be as old as it is."""
        if not self.bends:
            return self.since
        changed = self.bends[-1][0]
        return changed - self.age(changed)
