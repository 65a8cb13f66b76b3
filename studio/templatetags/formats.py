"""Filters that show stored values in the studio's way: {{ amount|money:studio }}."""

from datetime import date, datetime, time, timedelta
from uuid import uuid4

from django import template
from django.utils import timezone

from studio import formats, units
from studio.models import Studio

register = template.Library()


@register.filter
def money(minor: int | None, studio: Studio) -> str:
    return "" if minor is None else formats.show_money(minor, studio)


@register.simple_tag(takes_context=True)
def money_in(context, minor: int, currency: str) -> str:
    """Return an amount in the currency it was sent in, whatever the studio's is now."""
    return formats.show_money(minor, context["studio"], currency=currency)


@register.filter
def measure(tenths: int | None, studio: Studio) -> str:
    if tenths is None:
        return ""
    return units.show_length(tenths, unit=studio.unit, locale=studio.locale)


@register.filter
def number(value, studio: Studio) -> str:
    return "" if value is None else formats.show_number(value, studio)


@register.filter
def minutes(value: int | None) -> str:
    return "" if value is None else formats.show_minutes(value)


@register.filter
def stretch(value: timedelta | None, studio: Studio) -> str:
    return "" if value is None else formats.show_stretch(value, studio)


@register.filter
def day(value: date | datetime | None, studio: Studio) -> str:
    return "" if value is None else formats.show_day(value, studio)


@register.filter
def nearday(value: date | None, studio: Studio) -> str:
    """Return the day as this year's calendar tells it, and with its year where it is another."""
    if value is None:
        return ""
    this_year = value.year == formats.local(timezone.now(), studio).year
    return formats.show_day(value, studio) if this_year else formats.show_date(value, studio)


@register.filter
def longday(value: date | datetime | None, studio: Studio) -> str:
    return "" if value is None else formats.show_date(value, studio)


@register.filter
def clock(value: datetime | time | None, studio: Studio) -> str:
    return "" if value is None else formats.show_time(value, studio)


@register.filter
def when(value: datetime | None, studio: Studio) -> str:
    return "" if value is None else formats.show_when(value, studio, now=timezone.now())


@register.simple_tag
def token() -> str:
    """Return a new one-time token for a form, so that a double tap counts once."""
    return str(uuid4())
