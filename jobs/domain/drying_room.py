"""What a studio knows of drying: its room, its own values, what its touch tests taught it."""

from collections.abc import Mapping
from dataclasses import dataclass, field

from jobs.domain.own_values import OwnValues, own_values
from jobs.models import Stage
from jobs.paint.drying import UNTAUGHT, Climate, Drying, Factor, drying, learning_key
from jobs.paint.drying_tables import media
from studio.models import Studio


@dataclass(frozen=True)
class DryingRoom:
    """All that a wait is reckoned from besides the coat itself.

    `likelihood` (0 to 1) is how surely a gate must be open by the hour the programme counts on.
    `factors` are what touch tests taught, by binder and drying class (`learning_key`).
    """

    climate: Climate
    airing: str
    likelihood: float
    own: OwnValues = field(default_factory=OwnValues)
    factors: Mapping[tuple[str, str], Factor] = field(default_factory=dict)

    def wait(self, stage: Stage, gate: str) -> Drying:
        """Return the wait after a coat of `stage` to a gate by key."""
        return drying(
            self.own.binder(stage.binder),
            gate,
            self.climate,
            parts=mix_parts(stage),
            thickness_um=stage.film_um,
            medium=_worked_in(stage),
            airing=self.airing,
            factor=self.factors.get(self.learns_under(stage), UNTAUGHT),
            own_classes=self.own.classes,
        )

    def learns_under(self, stage: Stage) -> tuple[str, str]:
        """Return binder and drying class under which touch tests on a stage teach."""
        return learning_key(
            stage.binder,
            parts=mix_parts(stage),
            medium=_worked_in(stage),
            own_classes=self.own.classes,
        )


def mix_parts(stage: Stage) -> dict[str, float]:
    """Return the parts of the stage's mix by pigment; empty where no mix is chosen."""
    return {part.pigment: part.parts for part in stage.mix.parts.all()} if stage.mix else {}


def _worked_in(stage: Stage) -> str:
    """What a drawing is made with stands in the same place, and is no medium of a paint."""
    return stage.medium if stage.medium in media() else ""


def climate(studio: Studio) -> Climate:
    return Climate(studio.room_temperature, studio.room_humidity)


def untaught_room(studio: Studio) -> DryingRoom:
    """Return the studio's room with its own values, before any touch test has taught it."""
    return DryingRoom(
        climate=climate(studio),
        airing=studio.airing,
        likelihood=studio.dry_enough / 100,
        own=own_values(studio),
    )
