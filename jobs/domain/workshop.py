"""How paint dries in this studio: its room, its films, and what its touch tests taught."""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field, replace
from datetime import datetime, timedelta
from functools import lru_cache
from math import isinf

from jobs.domain.own_values import OwnValues, own_values
from jobs.models import Stage, TouchTest
from jobs.paint.ageing import Ageing
from jobs.paint.binders import binder
from jobs.paint.drying import UNTAUGHT, Climate, Drying, Factor, drying, learning_key
from jobs.paint.film import wet_film_microns
from jobs.paint.gates import TOUCH_DRY
from jobs.paint.learning import Posterior, posterior, prior_for
from jobs.paint.touch import Observation, Reading, Touch, observations
from jobs.paint.worked_in import drying_medium
from studio.models import Studio

LearningKey = tuple[str, str]
"""Binder and drying class under which a studio learns."""
Coat = tuple[int, int]
"""A stage's primary key and the coat, from 1."""


@dataclass(frozen=True)
class CoatTests:
    """The touch tests of one coat, read against the wait foretold for it.

    `end` is when the coat was finished, an aware UTC instant.
    """

    stage: Stage
    coat: int
    end: datetime
    key: LearningKey
    reading: Reading
    foretold: timedelta


@dataclass(frozen=True)
class PastRoom:
    """The room as it was until an instant (aware): its air, and how that was moved."""

    until: datetime
    climate: Climate
    airing: str


@dataclass(frozen=True)
class Workshop:
    """What the drying of a coat hangs on beside the stage itself.

    `likelihood` (0 to 1) is how surely a gate must be open by the hour that the programme
    counts on. `films` are wet microns by binder, as the studio's own spread rates have it.
    `seen` holds the observations by what they teach of, and by the coat; `past` the room as it was
    before, oldest first.
    """

    climate: Climate
    airing: str
    likelihood: float
    films: Mapping[str, float]
    own: OwnValues
    seen: Mapping[LearningKey, Mapping[Coat, Observation]] = field(default_factory=dict)
    past: tuple[PastRoom, ...] = ()

    def wait(self, stage: Stage, gate: str, *, coat: int = 0) -> Drying:
        """Return how long a coat of a stage takes to a gate, by what the studio has learnt.

        The tests of `coat` itself are left out: they hold or open its gate already.
        """
        return self._drying(stage, gate, self.factor(stage, apart_from=(stage.pk, coat)))

    def ageing(self, stage: Stage, gate: str, *, since: datetime) -> Ageing:
        """Return how a coat laid at `since` has dried towards a gate, the room having changed."""
        known = [room for room in self.past if room.until > since]
        if not known:
            return Ageing(since)
        now = self._drying(stage, gate, UNTAUGHT).median
        bends = []
        for room in known:
            there = replace(self, climate=room.climate, airing=room.airing)
            then = there._drying(stage, gate, UNTAUGHT).median
            bends.append((room.until, now / then if then else 1.0))
        return Ageing(since, tuple(bends))

    def foretold(self, stage: Stage) -> timedelta:
        """Return the median to touch-dry by the published times: what a test is held against."""
        return self._drying(stage, TOUCH_DRY.key, UNTAUGHT).median

    def factor(self, stage: Stage, *, apart_from: Coat | None = None) -> Factor:
        """Return the studio's own factor on the published times of such a coat."""
        key = self.key(stage)
        seen = self.seen.get(key, {})
        rest = tuple(one for coat, one in seen.items() if coat != apart_from)
        return learnt(key, rest).factor if rest else UNTAUGHT

    def key(self, stage: Stage) -> LearningKey:
        """Return under which binder and drying class the tests of a stage teach."""
        medium = drying_medium(stage.medium, stage.binder)
        return learning_key(
            stage.binder, parts=parts(stage), medium=medium, own_classes=self.own.classes
        )

    def _drying(self, stage: Stage, gate: str, factor: Factor) -> Drying:
        return drying(
            self.own.binder(stage.binder),
            gate,
            self.climate,
            parts=parts(stage),
            thickness_um=stage.film_um or self.films.get(stage.binder),
            medium=drying_medium(stage.medium, stage.binder),
            airing=self.airing,
            factor=factor,
            own_classes=self.own.classes,
            lends=self.own.binder,
        )


def workshop_of(studio: Studio) -> Workshop:
    """Return the studio's workshop as it is now; fetch it once for many panels."""
    untaught = untaught_workshop(studio)
    seen: dict[LearningKey, dict[Coat, Observation]] = {}
    for tests in _coat_tests(studio, untaught):
        for one in tests.reading.observations:
            seen.setdefault(tests.key, {})[tests.stage.pk, tests.coat] = one
    return replace(untaught, seen=seen)


def untaught_workshop(studio: Studio) -> Workshop:
    """Return the studio's workshop without what its touch tests taught: enough for the rules."""
    return Workshop(
        climate=climate(studio),
        airing=studio.room_airing,
        likelihood=studio.dry_enough / 100,
        films=films(studio),
        own=own_values(studio),
        past=tuple(_past_room(row) for row in studio.past_rooms),
    )


def _past_room(row: dict) -> PastRoom:
    climate = Climate(row["room_temperature"], row["room_humidity"])
    return PastRoom(datetime.fromisoformat(row["until"]), climate, row["room_airing"])


def coat_tests(studio: Studio) -> tuple[CoatTests, ...]:
    """Return the touch tests of all the studio's coats, each read as one observation or none."""
    return tuple(_coat_tests(studio, untaught_workshop(studio)))


@dataclass(frozen=True)
class OddTests:
    """What is strange about some touch tests of a coat, in a sentence of the engine's."""

    sentence: str
    tests: tuple[TouchTest, ...]


def odd_tests(stage: Stage, workshop: Workshop) -> tuple[OddTests, ...]:
    """Return what is odd among the touch tests of a stage's coats.

    Reads sittings, touch tests with their people, and the mix: fetch them for many stages.
    """
    return tuple(
        OddTests(odd.sentence, tuple(t for t in stage.touch_tests.all() if touch(t) in odd.tests))
        for coat in _read(stage, workshop)
        for odd in coat.reading.odd
    )


@lru_cache(maxsize=256)
def learnt(key: LearningKey, seen: tuple[Observation, ...]) -> Posterior:
    """Return what observations make of the prior of a binder and drying class."""
    return posterior(seen, prior_for(key[0]))


def climate(kept: Studio | TouchTest) -> Climate:
    """Return the room as the studio has it now, or had it when a finger was held to a coat."""
    return Climate(kept.room_temperature, kept.room_humidity)


def films(studio: Studio) -> dict[str, float]:
    """Return wet microns by binder, as the rates at which the studio spreads its paints say."""
    return {row.binder: wet_film_microns(row.spread_rate) for row in studio.supplies.all()}


def parts(stage: Stage) -> dict[str, int]:
    """Return the parts of the stage's mix by Colour Index name; nothing where it has none."""
    return {part.pigment: part.parts for part in stage.mix.parts.all()} if stage.mix else {}


def _coat_tests(studio: Studio, workshop: Workshop) -> Iterator[CoatTests]:
    tested = Stage.objects.of(studio).filter(touch_tests__isnull=False).distinct()
    rows = list(tested.prefetch_related("sittings", "touch_tests__by"))
    mixes = studio.mixes.prefetch_related("parts").in_bulk() if rows else {}
    for stage in rows:
        stage.mix = mixes.get(stage.mix_id)
        yield from _read(stage, workshop)


def _read(stage: Stage, workshop: Workshop) -> Iterator[CoatTests]:
    if not binder(stage.binder).waits:
        return
    for coat, end in enumerate(stage.coat_ends, start=1):
        raw = [test for test in stage.touch_tests.all() if test.coat == coat]
        if not raw:
            continue
        past = tuple(room for room in workshop.past if room.until <= raw[-1].at)
        then = replace(workshop, climate=climate(raw[-1]), airing=raw[-1].room_airing, past=past)
        foretold = then.foretold(stage)
        reading = observations([touch(test) for test in raw], since=end, predicted=foretold)
        reading = _aged(reading, then.ageing(stage, TOUCH_DRY.key, since=end), foretold)
        yield CoatTests(stage, coat, end, workshop.key(stage), reading, foretold)


def _aged(reading: Reading, lain: Ageing, foretold: timedelta) -> Reading:
    """Return a reading with its times told in hours of the room as it was at the last test."""
    if not lain.bends:
        return reading

    def aged(share: float) -> float:
        return share if isinf(share) else lain.age(lain.since + share * foretold) / foretold

    seen = (Observation(aged(one.low), aged(one.high)) for one in reading.observations)
    return replace(reading, observations=tuple(seen))


def touch(test: TouchTest) -> Touch:
    """Return a touch test as the paint engine reads it."""
    return Touch(test.at, test.result, test.by.name)
