"""A rough size in place of furniture nobody measured yet."""

from dataclasses import dataclass

from django.db import transaction

from jobs.domain.places import free_place_on_face, keep_panel, keep_surface
from jobs.models import Commission, MethodSheet, Panel, Piece, Surface
from studio.domain.records import keep_record
from studio.signals import hold_changes

MOST_GUESSED = 60
"""Panels of one guess; whoever paints more knows more about them. Common practice, no source."""


@dataclass(frozen=True)
class Guess:
    """So many panels of one size (tenths of a millimetre), by one method sheet with stages."""

    sheet: MethodSheet
    panels: int
    width: int
    height: int


@transaction.atomic
def measure_roughly(commission: Commission, guess: Guess) -> Piece:
    """Give a commission a piece with the guessed panels, each filling a surface of its own.

    Their ground is undecided. Raises Refused where the sheet has no stages.
    """
    with hold_changes():
        piece = keep_record(Piece(commission=commission, name="Roughly measured"))
        surfaces: list[Surface] = []
        for number in range(1, guess.panels + 1):
            name, (left, top) = f"Panel {number}", _beside(surfaces, guess)
            size = {"width": guess.width, "height": guess.height}
            surface = Surface(piece=piece, name=name, left=left, top=top, **size)
            surfaces.append(keep_surface(surface))
            keep_panel(Panel(surface=surface, name=name, **size), sheet=guess.sheet)
    return piece


def _beside(surfaces: list[Surface], guess: Guess) -> tuple[int, int]:
    return free_place_on_face(surfaces, guess.width, guess.height)
