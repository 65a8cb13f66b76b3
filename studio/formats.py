"""Money, time and dates as the studio reads them: its locale, currency and time zone."""

from datetime import date, datetime, time, timedelta
from decimal import ROUND_HALF_UP, Decimal
from math import ceil

from babel import Locale
from babel.dates import format_date, format_skeleton, format_time
from babel.numbers import (
    format_currency,
    format_decimal,
    get_currency_precision,
)

from studio.models import Studio
from studio.units import parse_number, type_number


def to_minor(amount: Decimal, currency: str) -> int:
    """Return whole minor units, rounded half up (ISO 4217 digits by Babel's table)."""
    digits = get_currency_precision(currency)
    # Rounded once, before any product, for a product is itself rounded to 28 figures.
    rounded = amount.quantize(Decimal(1).scaleb(-digits), ROUND_HALF_UP)
    return int(rounded.scaleb(digits))


def to_major(minor: int, currency: str) -> Decimal:
    """Return minor units as an exact Decimal amount with the currency's digits."""
    return Decimal(minor).scaleb(-get_currency_precision(currency))


def show_money(minor: int, studio: Studio, *, currency: str = "") -> str:
    """Return an amount in the studio's locale, in its currency or the one given."""
    currency = currency or studio.currency
    return format_currency(to_major(minor, currency), currency, locale=studio.locale)


def parse_money(text: str, studio: Studio) -> int:
    """Return minor units for an amount typed in the studio's locale.

    Raises ValueError when unreadable, or with more decimals than the currency has: whoever types
    1.250 in pounds may mean a thousand times as much.
    """
    amount = parse_number(text, locale=studio.locale)
    if -amount.as_tuple().exponent > get_currency_precision(studio.currency):
        raise ValueError(text)
    return to_minor(amount, studio.currency)


def type_money(minor: int, studio: Studio) -> str:
    """Return an amount for a form field, without the currency sign."""
    digits = "0" * get_currency_precision(studio.currency)
    return type_number(to_major(minor, studio.currency), locale=studio.locale, decimals=digits)


def show_number(number: Decimal | int | float, studio: Studio) -> str:
    return format_decimal(number, "#,##0.###", locale=studio.locale)


def show_minutes(minutes: int) -> str:
    """Return a stretch of work: '2 h 30', '45 min'."""
    hours, rest = divmod(int(minutes), 60)
    if not hours:
        return f"{rest} min"
    return f"{hours} h {rest:02d}" if rest else f"{hours} h"


def show_stretch(stretch: timedelta, studio: Studio) -> str:
    """Return how long one waits, rounded up: '45 min', '3 h', from two days on '2.5 days'."""
    minutes = ceil(stretch.total_seconds() / 60)
    if minutes <= 60:
        return f"{minutes} min"
    hours = ceil(minutes / 60)
    return f"{hours} h" if hours < 48 else f"{show_number(ceil(hours / 12) / 2, studio)} days"


def local(instant: datetime, studio: Studio) -> datetime:
    return instant.astimezone(studio.zone)


def speaks_english(studio: Studio) -> bool:
    """Return whether the studio writes English, as the pages and papers do."""
    return Locale.parse(studio.locale).language == "en"


def show_day(day: date | datetime, studio: Studio) -> str:
    """Return 'Thu 26 Nov' in the studio's locale; 'Thu 26.11.' where it is not English.

    So no month or weekday of another tongue stands in an English sentence.
    """
    if isinstance(day, datetime):
        day = local(day, studio).date()
    if speaks_english(studio):
        return format_skeleton("MMMEd", day, locale=studio.locale)
    return (
        f"{format_date(day, 'EEE', locale='en')} {format_skeleton('Md', day, locale=studio.locale)}"
    )


def show_date(day: date | datetime, studio: Studio) -> str:
    """Return '26 November 2026' in the studio's locale; in its figures where it is not English."""
    if isinstance(day, datetime):
        day = local(day, studio).date()
    if speaks_english(studio):
        return format_date(day, "long", locale=studio.locale)
    return show_figures(day, studio)


def show_figures(day: date, studio: Studio) -> str:
    """Return '9.2.2027' or '2027/2/9': a day in figures only, in the order of the locale."""
    return format_skeleton("yMd", day, locale=studio.locale)


def show_time(instant: datetime | time, studio: Studio) -> str:
    if isinstance(instant, datetime):
        instant = local(instant, studio).time()
    return format_time(instant, "short", locale=studio.locale)


def show_when(instant: datetime, studio: Studio, *, now: datetime) -> str:
    """Return 'today 13:00', 'tomorrow 09:00' or 'Thu 26 Nov 10:00'; another year is said."""
    day = show_near_day(local(instant, studio).date(), studio, now=now)
    return f"{day} {show_time(instant, studio)}"


def show_near_day(day: date, studio: Studio, *, now: datetime) -> str:
    """Return 'today', 'tomorrow' or 'Thu 26 Nov'; another year is said."""
    here = local(now, studio).date()
    days = {here: "today", here + timedelta(days=1): "tomorrow"}
    told = show_day(day, studio) if day.year == here.year else show_date(day, studio)
    return days.get(day) or told
