"""What a studio's touch tests taught it of its own drying, put together for its page."""

from dataclasses import dataclass
from datetime import timedelta

from jobs.domain.workshop import CoatTests, coat_tests, learnt, workshop_of
from jobs.paint.binders import Binder, binder
from jobs.paint.gates import TOUCH_DRY
from jobs.paint.learning import Posterior
from jobs.paint.pigments import DryingClass, drying_classes
from jobs.paint.touch import Observation
from studio.models import Studio


@dataclass(frozen=True)
class Lesson:
    """What is known of one binder and drying class.

    `pace` is None for a binder whose waits do not go by pigment. `coats` have the latest last;
    `by_hours` (the table's hours, or her own in their place) and `by_you` (with her tests) are
    the likely waits to touch-dry of a coat such as the latest, in this room.
    """

    binder: Binder
    pace: DryingClass | None
    coats: tuple[CoatTests, ...]
    posterior: Posterior
    by_hours: timedelta
    by_you: timedelta

    @property
    def seen(self) -> tuple[Observation, ...]:
        """Return what the tests say, as shares of the wait foretold for each coat."""
        return tuple(one for coat in self.coats for one in coat.reading.observations)


def lessons(studio: Studio) -> tuple[Lesson, ...]:
    """Return what was learnt by binder and drying class, that with most tests first."""
    shop = workshop_of(studio)
    told: dict[tuple[str, str], list[CoatTests]] = {}
    for tests in sorted(coat_tests(studio), key=lambda tests: tests.end):
        told.setdefault(tests.key, []).append(tests)
    found = []
    for key, coats in told.items():
        seen = tuple(one for coat in coats for one in coat.reading.observations)
        latest = coats[-1].stage
        found.append(
            Lesson(
                binder=binder(key[0]),
                pace=drying_classes().get(key[1]),
                coats=tuple(coats),
                posterior=learnt(key, seen),
                by_hours=shop.foretold(latest),
                by_you=shop.wait(latest, TOUCH_DRY.key).median,
            )
        )
    return tuple(sorted(found, key=lambda lesson: -lesson.posterior.tests))
