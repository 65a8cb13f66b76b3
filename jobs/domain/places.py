"""Surfaces and panels in their places: what fits, what runs into what."""

from collections.abc import Iterable

from django.db import transaction

from jobs.domain.methods import give_method
from jobs.layout.placing import (
    Placed,
    next_free_place,
    next_surface_place,
    outside,
    overlaps,
)
from jobs.layout.shapes import Shape
from jobs.models import MethodSheet, Panel, Surface
from studio.domain.records import keep_record
from studio.refusal import Refused
from studio.signals import hold_changes
from studio.units import show_length


def measure_in(studio):
    """Return a function that tells a length in the studio's unit."""
    return lambda tenths: show_length(tenths, unit=studio.unit, locale=studio.locale)


def placed(panel: Panel) -> Placed:
    return Placed(panel.name, panel.shape, panel.left, panel.top)


@transaction.atomic
def keep_surface(surface: Surface, *, seen_version: int | None = None) -> Surface:
    """Save a surface. Raises Refused where a panel on it would no longer fit."""
    measure = measure_in(surface.owner)
    for panel in surface.panels.all() if surface.pk else ():
        if sentence := outside(placed(panel), surface.width, surface.height, measure):
            field = "height" if panel.top + panel.height > surface.height else "width"
            raise Refused(f"A panel would no longer fit. {sentence}", field)
    return keep_record(surface, seen_version=seen_version)


@transaction.atomic
def keep_panel(
    panel: Panel, *, seen_version: int | None = None, sheet: MethodSheet | None = None
) -> Panel:
    """Save a panel; a new one takes its stages from `sheet`.

    Raises Refused where it leaves its surface or lies over another panel.
    """
    surface = panel.surface
    here = placed(panel)
    if sentence := outside(here, surface.width, surface.height, measure_in(surface.owner)):
        raise Refused(sentence, _field_outside(panel, surface))
    others = surface.panels.exclude(pk=panel.pk)
    if names := overlaps(here, [placed(other) for other in others]):
        raise Refused(f"It would lie over {' and '.join(names)}. Move or shrink it.", "left")
    new = panel.pk is None
    keep_record(panel, seen_version=seen_version)
    if new and sheet:
        give_method(panel, sheet=sheet)
    return panel


def _field_outside(panel: Panel, surface: Surface) -> str:
    if panel.width > surface.width:
        return "width"
    if panel.height > surface.height:
        return "height"
    return "left" if panel.left + panel.width > surface.width else "top"


@transaction.atomic
def mirror_panel(panel: Panel, *, surface: Surface, name: str) -> Panel:
    """Make the mirror image of a panel on a surface: same shape, motif, ground and stages.

    It stands as far from the right edge as the first from the left. Raises Refused where it
    does not fit.
    """
    twin = Panel(
        surface=surface,
        name=name,
        kind=panel.kind,
        width=panel.width,
        height=panel.height,
        points=mirrored_points(panel.shape),
        band=panel.band,
        left=max(0, surface.width - panel.left - panel.width),
        top=panel.top,
        motif=panel.motif,
        intricacy=panel.intricacy,
        ground_name=panel.ground_name,
        ground_colour=panel.ground_colour,
        colour_agreed_by=panel.colour_agreed_by,
        mirrored_from=panel,
    )
    keep_panel(twin)
    copy_stages(panel, twin)
    return twin


def mirrored_points(shape: Shape) -> list[list[int]]:
    """Return a polygon's corners as seen in a mirror; [] for the other shapes."""
    return [[shape.width - x, y] for x, y in shape.points]


def copy_stages(source: Panel, target: Panel) -> None:
    """Give `target` the stages of `source`, without the work logged on them."""
    with hold_changes():
        for stage in source.stages.all():
            stage.pk = None
            stage._state.adding = True
            stage.panel = target
            stage.version = 1
            keep_record(stage)


def free_place_on_face(others: Iterable[Surface], width: int, height: int) -> tuple[int, int]:
    """Return (left, top) for a surface beside the `others` on its face."""
    boxes = [(other.left, other.top, other.width, other.height) for other in others]
    return next_surface_place(boxes, width, height)


def free_place_on_surface(panel: Panel, shape: Shape) -> tuple[int, int]:
    """Return (left, top) where a panel has most air; the corner where it fits nowhere."""
    surface = panel.surface
    others = [placed(other) for other in surface.panels.exclude(pk=panel.pk)]
    return next_free_place(shape, others, surface.width, surface.height) or (0, 0)
