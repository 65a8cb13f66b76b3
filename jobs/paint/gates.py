"""The drying gates: what must be true of a coat before the next stage may start.

The terms follow ASTM D1640 (dry-to-touch, dry-to-recoat, dry-through) and ISO 9117-1
(through-dry state); the sentences are in plain words.
"""

from dataclasses import dataclass
from datetime import UTC, datetime, timedelta

QUARTER = timedelta(minutes=15)
"""As near as an hour of drying is told: no reckoning knows the minute."""


@dataclass(frozen=True)
class Gate:
    """A kind of gate. `test` says how she knows, `label` is the word on the page."""

    key: str
    label: str
    test: str


NO_WAIT = Gate("none", "no wait", "The next stage may start at once.")
TOUCH_DRY = Gate("touch-dry", "touch-dry", "A light touch feels no tack and takes nothing off.")
RECOAT = Gate("recoat", "ready to recoat", "The next coat goes on without lifting this one.")
THROUGH_DRY = Gate(
    "through-dry", "dry all through", "A thumb pressed hard and turned leaves no mark."
)
CURED = Gate("cured", "cured", "The coat is as hard as it will become in use.")

GATES: dict[str, Gate] = {
    gate.key: gate for gate in (NO_WAIT, TOUCH_DRY, RECOAT, THROUGH_DRY, CURED)
}
"""Every gate by its key, from the shortest wait to the longest."""


def at_least(gate: str, least: str) -> bool:
    """Whether `gate` waits as long as `least` or longer, both keys of GATES."""
    order = list(GATES)
    return order.index(gate) >= order.index(least)


def quarter_up(instant: datetime) -> datetime:
    """Round an aware instant up to a quarter of an hour, in its own time zone."""
    there = instant.tzinfo
    return (instant.astimezone(UTC) + -(instant - _EPOCH) % QUARTER).astimezone(there)


_EPOCH = datetime(1970, 1, 1, tzinfo=UTC)
