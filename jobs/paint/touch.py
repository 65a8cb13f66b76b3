"""What touch tests tell: of the coat's gate at once, and of the studio's drying in the long run.

`finger_tells` is the one; `observations` reads the raw tests of a coat as one observation for
`jobs.paint.learning`, and what does not fit is said, not lost.
"""

import math
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime, timedelta

from jobs.paint.binders import binder
from jobs.paint.gates import CURED, RECOAT, THROUGH_DRY, TOUCH_DRY

WET, TACKY, DRY, THROUGH = "wet", "tacky", TOUCH_DRY.key, THROUGH_DRY.key
RESULTS = (WET, TACKY, DRY, THROUGH)
"""What a finger finds; the last takes a thumb pressed hard and turned (see jobs.paint.gates)."""
DRY_RESULTS = (DRY, THROUGH)

OPENS = "opens"
IN_TIME = "in time"
NOTHING = ""

_DRAGS = ("varnish", "sealer")


def finger_tells(gate: str, binder_key: str, result: str = DRY) -> str:
    """What a coat found dry says of `gate`: OPENS, IN_TIME or NOTHING. `result` is how dry.

    A finger opens the touch-dry gate, and lets paint and ground be recoated. A varnish or a
    sealer dry to the touch still drags or lifts under the next coat (dry-to-recoat is a state
    of its own in ASTM D1640): there it shows only that the coat is in time, so that its usual
    wait suffices. Of the depth it tells nothing: that takes the turned thumb of dry-through
    (ASTM D1640), which opens every gate short of the cure. What a finger is worth at each is
    common practice, no source. ValueError for an unknown binder, or a result that is not dry.
    """
    if result not in DRY_RESULTS:
        raise ValueError(f"Only a dry coat tells of its gate; not one found '{result}'.")
    if result == THROUGH:
        return NOTHING if gate == CURED.key else OPENS
    if gate == TOUCH_DRY.key:
        return OPENS
    if gate == RECOAT.key:
        return IN_TIME if binder(binder_key).role in _DRAGS else OPENS
    return NOTHING


@dataclass(frozen=True)
class Observation:
    """One coat became touch-dry between `low` and `high` times the wait foretold for it.

    `low` 0: dry at the first test already. `high` infinite: still wet at the last. ValueError
    where the two are not in order, or nothing is known at all.
    """

    low: float
    high: float

    def __post_init__(self) -> None:
        if not 0 <= self.low < self.high:
            raise ValueError("A coat is found wet before it is found dry.")
        if self.low == 0 and self.high == math.inf:
            raise ValueError("An observation knows of a wet coat or of a dry one.")


@dataclass(frozen=True)
class Touch:
    """A finger on the paint: an aware instant, what it felt, and whose it was ("" unknown).

    ValueError for a result that is none of RESULTS or an instant without its zone.
    """

    at: datetime
    result: str
    person: str = ""

    def __post_init__(self) -> None:
        if self.result not in RESULTS:
            raise ValueError(f"A touch test finds {', '.join(RESULTS)}; not '{self.result}'.")
        if self.at.utcoffset() is None:
            raise ValueError("A touch test needs an instant with its time zone.")

    @property
    def dry(self) -> bool:
        """Whether it was touch-dry by then; dry all through it was so too."""
        return self.result in DRY_RESULTS


@dataclass(frozen=True)
class Odd:
    """What is strange about some tests, in a sentence. `used` says whether they count."""

    sentence: str
    tests: tuple[Touch, ...]
    used: bool = False


@dataclass(frozen=True)
class Reading:
    """One observation of the coat or none, and all that was odd on the way."""

    observations: tuple[Observation, ...]
    odd: tuple[Odd, ...]


def observations(tests: Sequence[Touch], *, since: datetime, predicted: timedelta) -> Reading:
    """Read the tests of one coat, finished at `since`, against its wait to touch-dry.

    `predicted` is the median from `drying` without a studio's factor. Tests are read in the
    order of their instants, however they were written down. Where a person finds dry what is
    wet to the same person later, the later word stands. Where two people contradict each
    other, neither is believed: the tests from the first dry to the last wet are left out, and
    the interval reaches from the wet before to the dry after. ValueError for a predicted wait
    of nothing.
    """
    if predicted <= timedelta(0):
        raise ValueError("What is not waited for teaches nothing about drying.")
    odd: list[Odd] = []
    kept = _after_the_coat(tests, since, odd)
    kept = _in_order(kept, since, odd)
    kept = _corrected(kept, since, odd)
    kept = _agreed(kept, since, odd)
    wet = [test.at for test in kept if not test.dry]
    dry = [test.at for test in kept if test.dry]
    if not kept:
        return Reading((), tuple(odd))
    low = (max(wet) - since) / predicted if wet else 0.0
    high = (min(dry) - since) / predicted if dry else math.inf
    return Reading((Observation(low, high),), tuple(odd))


def _in_order(tests: Sequence[Touch], since: datetime, odd: list[Odd]) -> list[Touch]:
    latest = None
    for test in tests:
        if latest and test.at < latest.at:
            sentence = (
                f"The test after {span(test.at - since)} was written down after the one "
                f"after {span(latest.at - since)}; they are read in the order of their times."
            )
            odd.append(Odd(sentence, (latest, test), used=True))
        latest = test if latest is None or test.at >= latest.at else latest
    return sorted(tests, key=lambda test: test.at)


def _after_the_coat(tests: Sequence[Touch], since: datetime, odd: list[Odd]) -> list[Touch]:
    early = tuple(test for test in tests if test.at <= since)
    if early:
        odd.append(Odd("A test from before the coat was finished says nothing of it.", early))
    return [test for test in tests if test.at > since]


def _corrected(tests: list[Touch], since: datetime, odd: list[Odd]) -> list[Touch]:
    """Leave out each dry test that the same person's later test takes back."""
    last_wet = {test.person: test for test in tests if not test.dry}
    kept = []
    for test in tests:
        wet = last_wet.get(test.person)
        if test.dry and wet and wet.at > test.at:
            sentence = (
                f"{test.person or 'Somebody'} found it dry after {span(test.at - since)} and "
                f"{wet.result} after {span(wet.at - since)}: the later test counts."
            )
            odd.append(Odd(sentence, (test,)))
        else:
            kept.append(test)
    return kept


def _agreed(tests: list[Touch], since: datetime, odd: list[Odd]) -> list[Touch]:
    """Leave out the tests from the first dry to the last wet, where they overlap."""
    dry = [test for test in tests if test.dry]
    wet = [test for test in tests if not test.dry]
    if not dry or not wet or dry[0].at > wet[-1].at:
        return tests
    first, last = dry[0], wet[-1]
    among = tuple(test for test in tests if first.at <= test.at <= last.at)
    sentence = (
        f"{first.person or 'Somebody'} found it dry after {span(first.at - since)}, "
        f"{last.person or 'somebody'} {last.result} after {span(last.at - since)}: "
        "between the two nothing counts."
    )
    odd.append(Odd(sentence, among))
    return [test for test in tests if test not in among]


def span(elapsed: timedelta) -> str:
    """Time since the coat in words: minutes up to two hours, hours up to three days, days."""
    minutes = round(elapsed / timedelta(minutes=1))
    if abs(minutes) < 120:
        return f"{minutes} min"
    hours = round(minutes / 60)
    return f"{hours} h" if abs(hours) < 72 else f"{round(hours / 24)} days"
