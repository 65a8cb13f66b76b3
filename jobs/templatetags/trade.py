"""Filters that show keys of the engines' tables as the words of the trade."""

from decimal import ROUND_HALF_UP, Decimal

from django import template

from jobs.paint.binders import binders
from jobs.paint.gates import GATES
from jobs.paint.pigments import pigments
from studio.formats import show_number
from studio.models import Studio

register = template.Library()
LEAST_ML, TELL_WHOLE = Decimal("0.1"), 10


@register.filter
def binder_name(key: str) -> str:
    """Return "oil colour" for "oil"; "" where nothing is painted with."""
    found = binders().get(key)
    return found.name if found and found.family != "none" else ""


@register.filter
def gate_label(key: str) -> str:
    """Return "ready to recoat" for "recoat"."""
    return GATES[key].label if key in GATES else key


@register.filter
def pigment_name(key: str) -> str:
    """Return the name of a tube colour, such as "raw umber"; "" where it is not known."""
    found = pigments().get(key)
    return found.name if found else ""


@register.filter
def colour_index(key: str) -> str:
    """Return the Colour Index name of a tube colour: "PBr7" for "PBr7 raw umber"."""
    found = pigments().get(key)
    return found.ci if found else key


@register.filter
def ml(volume: Decimal, studio: Studio) -> str:
    """Return "2.4 ml" or "45 ml": as near as paint can be squeezed out."""
    if 0 < volume < LEAST_ML:
        return f"under {show_number(LEAST_ML, studio)} ml"
    near = LEAST_ML if volume < TELL_WHOLE else Decimal(1)
    return f"{show_number(volume.quantize(near, ROUND_HALF_UP), studio)} ml"
