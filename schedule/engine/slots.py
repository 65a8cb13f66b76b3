"""Time in whole slots, counted from the epoch."""

from dataclasses import dataclass
from datetime import datetime, timedelta

from schedule.engine.problem import EPOCH

MINUTE = timedelta(minutes=1)
SECOND = timedelta(seconds=1)
MICROS = 1_000_000
"""Microseconds in a second: what the decoder counts instants and waits in."""


@dataclass(frozen=True, slots=True)
class Grid:
    """The slot grid: slot number n begins n times `slot` after the epoch."""

    slot: timedelta

    @property
    def micros(self) -> int:
        """The length of a slot in microseconds."""
        return self.slot // timedelta(microseconds=1)

    def down(self, moment: datetime) -> int:
        """Return the last slot that begins at or before the moment."""
        return (moment - EPOCH) // self.slot

    def up(self, moment: datetime) -> int:
        """Return the first slot that begins at or after the moment."""
        return -((EPOCH - moment) // self.slot)

    def moment(self, number: int) -> datetime:
        """Return the instant at which a slot begins."""
        return EPOCH + number * self.slot

    def count(self, length: timedelta) -> int:
        """Return how many whole slots it takes to hold a length of time."""
        return -(-length // self.slot)
