"""Filters that show keys of the engines' tables as the words of the trade."""

from django import template

from jobs.paint.binders import binders
from jobs.paint.gates import GATES
from jobs.paint.pigments import pigments
from jobs.paint.worked_in import worked_with

register = template.Library()


@register.filter
def binder_name(key: str) -> str:
    """Return "oil colour" for "oil"; "" where nothing is painted with."""
    found = binders().get(key)
    return found.name if found and found.family != "none" else ""


@register.filter
def medium_name(key: str) -> str:
    """Return "alkyd medium" for "alkyd-medium"; "" where nothing is worked in."""
    return worked_with()[key][0] if key in worked_with() else ""


@register.filter
def gate_label(key: str) -> str:
    """Return "ready to recoat" for "recoat"."""
    return GATES[key].label if key in GATES else key


@register.filter
def pigment_name(ci: str) -> str:
    """Return the name of a tube colour by its Colour Index name; "" where it is not known."""
    found = pigments().get(ci)
    return found.name if found else ""
