"""Lengths as she says them: typed in centimetres or inches, kept in tenths of a millimetre."""

import re
from decimal import ROUND_HALF_UP, Decimal
from fractions import Fraction

from babel.numbers import NumberFormatError, format_decimal, parse_decimal

TENTHS_PER_CM = 100
TENTHS_PER_INCH = 254
SIXTEENTH = 16
WITH_FRACTION = re.compile(
    r"(?:(?P<whole>[0-9]{1,16}) +)?(?P<above>[0-9]{1,16})/(?P<below>[0-9]{1,16})"
)
MOST = Decimal(10) ** 15
"""Beyond this a number is a slip of the pen, and arithmetic would lose digits."""


def parse_number(text: str, *, locale: str) -> Decimal:
    """Return a number typed in the usual way of `locale`.

    Raises ValueError when unreadable, without end, or with a mark that may mean thousands or
    decimals: 46.5 is forty-six and a half in English and must not become 465 in German. Letters
    are refused, so that 1e3 is not read as a thousand.
    """
    if any(sign.isalpha() or sign == "_" for sign in text):
        raise ValueError(text)
    try:
        number = parse_decimal(text.strip(), locale=locale, strict=True)
    except NumberFormatError as error:
        raise ValueError(text) from error
    if not number.is_finite() or abs(number) > MOST:
        raise ValueError(text)
    return number


def type_number(number: Decimal, *, locale: str, decimals: str = "####") -> str:
    """Return a number for a form field, as parse_number reads it; no marks for thousands.

    `decimals` is the part of a CLDR pattern after the point: 0 is always shown, # where needed.
    """
    return format_decimal(number, f"0.{decimals}".rstrip("."), locale=locale)


def parse_length(text: str, *, unit: str, locale: str) -> int:
    """Return tenths of a millimetre for a length typed in `unit` ("cm" or "in").

    Inches may carry a fraction: 36 1/2. A trailing unit (cm, mm, in, ") is honoured, so a
    measure read off another rule can be typed as it stands. Raises ValueError when unreadable.
    """
    bare = text.strip().lower().replace("”", '"')
    per_unit = TENTHS_PER_CM if unit == "cm" else TENTHS_PER_INCH
    for ending, factor in (("cm", 100), ("mm", 10), ("in", 254), ('"', 254)):
        if bare.endswith(ending):
            bare, per_unit = bare.removesuffix(ending).strip(), factor
            break
    return int((_number(bare, locale) * per_unit).quantize(Decimal(1), ROUND_HALF_UP))


def _number(text: str, locale: str) -> Decimal:
    if "/" not in text:
        return parse_number(text, locale=locale)
    typed = WITH_FRACTION.fullmatch(text)
    if not typed or not int(typed["below"]):
        raise ValueError(text)
    number = Fraction(int(typed["above"]), int(typed["below"])) + int(typed["whole"] or 0)
    if number > MOST:
        raise ValueError(text)
    return Decimal(number.numerator) / Decimal(number.denominator)


def show_length(tenths: int, *, unit: str, locale: str, with_unit: bool = True) -> str:
    """Return a length in the studio's unit: centimetres to the millimetre, inches to 1/16."""
    if unit == "cm":
        number = format_decimal(Decimal(tenths) / TENTHS_PER_CM, "#,##0.##", locale=locale)
        return f"{number} cm" if with_unit else number
    sixteenths = round(Fraction(tenths * SIXTEENTH, TENTHS_PER_INCH))
    whole, rest = divmod(sixteenths, SIXTEENTH)
    part = Fraction(rest, SIXTEENTH)
    words = " ".join(filter(None, [str(whole) if whole or not rest else "", str(part or "")]))
    return f"{words} in" if with_unit else words


def type_length(tenths: int, *, unit: str, locale: str) -> str:
    """Return a length for a form field so that saving it unread changes nothing.

    Inches that are no exact sixteenth come back in millimetres, not rounded.
    """
    shown = show_length(tenths, unit=unit, locale=locale, with_unit=False)
    if parse_length(shown, unit=unit, locale=locale) == tenths:
        return shown
    return f"{type_number(Decimal(tenths) / 10, locale=locale)} mm"
