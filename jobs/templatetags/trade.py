"""Filters that show keys of the engines' tables as words of the trade, and a panel as a picture."""

import math
from datetime import datetime, timedelta
from decimal import Decimal

from django import template
from django.utils import timezone

from jobs.domain.gates import show_gate
from jobs.domain.workshop import CoatTests
from jobs.layout.drawing import Drawing
from jobs.models import Panel
from jobs.paint.binders import binders
from jobs.paint.film import LEAST_ML, squeezed
from jobs.paint.gates import GATES
from jobs.paint.pigments import pigments
from jobs.paint.touch import span
from jobs.paint.worked_in import worked_with
from jobs.pictures import section_of
from studio.formats import show_number
from studio.models import Studio

register = template.Library()


@register.filter
def binder_name(key: str) -> str:
    """Return "oil colour" for "oil"; "" where nothing is painted with."""
    found = binders().get(key)
    return found.name if found and found.key != "none" else ""


@register.filter
def medium_name(key: str) -> str:
    """Return "alkyd medium" for "alkyd-medium"; "" where nothing is worked in."""
    return worked_with()[key][0] if key in worked_with() else ""


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
    return f"{show_number(squeezed(volume), studio)} ml"


@register.filter
def lasting(wait: timedelta) -> str:
    """Return "46 h" or "4 days" for a wait."""
    return span(wait)


@register.filter
def times(factor: float, studio: Studio) -> str:
    """Return "1.2 times as long" for a factor on a published wait."""
    near = round(factor, 2)
    return "just as long" if near == 1 else f"{show_number(near, studio)} times as long"


@register.filter(name="factor")
def bare_factor(factor: float, studio: Studio) -> str:
    """Return "1.2" for a factor on a published wait."""
    return show_number(round(factor, 2), studio)


@register.filter
def found(coat: CoatTests) -> str:
    """Return between which hours the touch tests found a coat dry; "" where none counts."""
    for one in coat.reading.observations:
        if one.high == math.inf:
            return f"still wet after {span(coat.foretold * one.low)}"
        if not one.low:
            return f"dry by {span(coat.foretold * one.high)}"
        return f"dry between {span(coat.foretold * one.low)} and {span(coat.foretold * one.high)}"
    return ""


@register.filter
def opening(instant: datetime, studio: Studio) -> str:
    """Return "today 14:15" or "Thu 26 Nov morning" for the hour at which a gate opens."""
    return show_gate(instant, studio, now=timezone.now())


@register.filter
def section(panel: Panel, drying: bool) -> Drawing:
    """Return the panel's coats in cross-section, its last one wet where `drying`."""
    return section_of(panel, drying=drying)
