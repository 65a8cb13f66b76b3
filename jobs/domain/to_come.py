"""What a stage waits for from outside: the piece, the colour agreed, paint on order."""

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date

from jobs.models import Stage
from jobs.paint.binders import binder
from studio.models import Studio


@dataclass(frozen=True)
class ToCome:
    """Something that is there only from a day on, in words that the day follows."""

    day: date
    words: str


def on_order(studio: Studio, *, today: date) -> dict[str, date]:
    """Return the day on which each binder on order comes, by its key."""
    rows = studio.supplies.filter(comes__gt=today)
    return {row.binder: row.comes for row in rows}


def piece_to_come(stage: Stage) -> tuple[ToCome, ...]:
    """Return the day the piece comes; nothing where it is here, or was worked on already.

    Reads the panel with its piece, and the sittings of all its stages.
    """
    arrives = stage.panel.surface.piece.arrives
    worked = any(one.sittings.all() for one in stage.panel.stages.all())
    return (ToCome(arrives, "The piece comes only on"),) if arrives and not worked else ()


def takes_colour(stage: Stage) -> bool:
    """Return whether a stage lays the colour that its panel's day of agreement is about."""
    return bool(stage.mix_id or stage.sort.places_ground)


def paint_to_come(stage: Stage, comes: Mapping[str, date]) -> tuple[ToCome, ...]:
    """Return the days that a stage's colour and paint wait for; nothing where it is begun.

    `comes` holds the days of binders on order.
    """
    if stage.sittings.all():
        return ()
    waits = []
    agreed = stage.panel.colour_agreed_by
    if agreed and takes_colour(stage):
        waits.append(ToCome(agreed, "The colour is to be agreed by"))
    if stage.binder in comes:
        name = binder(stage.binder).name
        waits.append(ToCome(comes[stage.binder], f"{name[:1].upper()}{name[1:]} comes only on"))
    return tuple(waits)


def still_to_come(stage: Stage, comes: Mapping[str, date], *, today: date) -> tuple[ToCome, ...]:
    """Return all that a stage waits for and that is not there today, the earliest first."""
    waits = (*piece_to_come(stage), *paint_to_come(stage, comes))
    return tuple(sorted((one for one in waits if one.day > today), key=lambda one: one.day))
