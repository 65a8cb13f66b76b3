"""Filters that show keys of the engines' tables as words of the trade, and a panel as a picture."""

from django import template

from jobs.layout.drawing import Drawing
from jobs.models import Panel
from jobs.paint.binders import binders
from jobs.paint.gates import GATES
from jobs.paint.pigments import pigments
from jobs.pictures import section_of

register = template.Library()


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
def pigment_name(ci: str) -> str:
    """Return the name of a tube colour by its Colour Index name; "" where it is not known."""
    found = pigments().get(ci)
    return found.name if found else ""


@register.filter
def section(panel: Panel, drying: bool) -> Drawing:
    """Return the panel's coats in cross-section, its last one wet where `drying`."""
    return section_of(panel, drying=drying)
