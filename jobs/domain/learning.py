"""What a studio's touch tests taught it of its own drying."""

from collections import defaultdict
from collections.abc import Iterable
from dataclasses import dataclass, replace
from datetime import datetime
from functools import lru_cache

from jobs.domain.drying_room import DryingRoom, untaught_room
from jobs.models import Stage
from jobs.paint.binders import Binder, binder
from jobs.paint.gates import TOUCH_DRY
from jobs.paint.learning import Posterior, Prior, posterior, prior_for
from jobs.paint.pigments import DryingClass, drying_classes
from jobs.paint.touch import Observation, Odd, Reading, Touch, observations
from studio.models import Studio


@dataclass(frozen=True)
class Taught:
    """The touch tests of one coat as they were read; `end` is when it was finished (UTC)."""

    stage: Stage
    coat: int
    end: datetime
    reading: Reading


@dataclass(frozen=True)
class Lesson:
    """What is known of one binder and drying class: its tests, and the factor they make.

    `pace` is None for a binder whose waits do not go by pigment.
    """

    binder: Binder
    pace: DryingClass | None
    coats: tuple[Taught, ...]
    posterior: Posterior

    @property
    def odd(self) -> tuple[tuple[Taught, Odd], ...]:
        """Return all that was odd about the tests, with the coat it was odd on."""
        return tuple((coat, odd) for coat in self.coats for odd in coat.reading.odd)


def lessons(studio: Studio) -> dict[tuple[str, str], Lesson]:
    """Return every lesson by binder and drying class, the one with most tests first."""
    return _lessons(untaught_room(studio), studio)


def drying_room(studio: Studio) -> DryingRoom:
    """Return the studio's room with what its touch tests taught it. A handful of queries."""
    room = untaught_room(studio)
    taught = _lessons(room, studio)
    return replace(room, factors={key: each.posterior.factor for key, each in taught.items()})


def _lessons(room: DryingRoom, studio: Studio) -> dict[tuple[str, str], Lesson]:
    coats: dict[tuple[str, str], list[Taught]] = defaultdict(list)
    for stage in _touched(studio):
        for coat in _coats(stage, room):
            coats[room.learns_under(stage)].append(coat)
    table = drying_classes()
    found = {
        key: Lesson(binder(key[0]), table.get(key[1]), tuple(told), _posterior_of(key[0], told))
        for key, told in coats.items()
    }
    most = sorted(found.items(), key=lambda item: -item[1].posterior.tests)
    return dict(most)


def _touched(studio: Studio) -> Iterable[Stage]:
    stages = Stage.objects.of(studio).filter(touch_tests__isnull=False).distinct()
    return stages.select_related("panel").prefetch_related(
        "sittings", "touch_tests__by", "mix__parts"
    )


def _coats(stage: Stage, room: DryingRoom) -> Iterable[Taught]:
    predicted = room.wait(stage, TOUCH_DRY.key).median
    if not predicted:
        return
    for coat, end in enumerate(stage.coat_ends, start=1):
        touches = [
            Touch(test.at, test.result, test.by.name)
            for test in sorted(stage.touch_tests.all(), key=lambda test: test.pk)
            if test.coat == coat
        ]
        if touches:
            yield Taught(stage, coat, end, observations(touches, since=end, predicted=predicted))


def _posterior_of(binder_key: str, told: Iterable[Taught]) -> Posterior:
    seen = tuple(one for coat in told for one in coat.reading.observations)
    return _posterior(seen, prior_for(binder_key))


@lru_cache(maxsize=1024)
def _posterior(seen: tuple[Observation, ...], prior: Prior) -> Posterior:
    # Every page that shows a gate asks for it, and it changes with a touch test only.
    return posterior(seen, prior)
