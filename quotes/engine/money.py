"""Exact money: whole minor units (pence, cents, fils) with the rounding rule named."""

from collections.abc import Callable
from decimal import Decimal
from enum import StrEnum
from fractions import Fraction

Exact = int | Decimal | Fraction

MOST_MINOR_DIGITS = 4
"""The most digits after the decimal sign that ISO 4217 gives any currency."""


class Rounding(StrEnum):
    """How a tie, exactly half a minor unit, is settled."""

    HALF_UP = "half-up"
    HALF_EVEN = "half-even"


def half_up(value: Exact) -> int:
    """The nearest whole number, a tie going away from zero: 2.5 to 3, -2.5 to -3.

    round-half-up of the General Decimal Arithmetic specification, roundTiesToAway of IEEE 754.
    The arithmetic is exact whatever the size of the number.
    """
    numerator, denominator = value.as_integer_ratio()
    nearest = (2 * abs(numerator) + denominator) // (2 * denominator)
    return nearest if numerator >= 0 else -nearest


def half_even(value: Exact) -> int:
    """The nearest whole number, a tie going to the even one: 2.5 to 2, 3.5 to 4.

    round-half-even of the General Decimal Arithmetic specification, roundTiesToEven of IEEE 754.
    """
    return round(Fraction(value))


ROUNDED: dict[Rounding, Callable[[Exact], int]] = {
    Rounding.HALF_UP: half_up,
    Rounding.HALF_EVEN: half_even,
}


def to_minor(
    amount: int | Decimal, minor_digits: int, rounding: Rounding = Rounding.HALF_UP
) -> int:
    """An amount in the currency's main unit as whole minor units: 12.345 with 2 digits to 1235.

    `minor_digits` is the currency's number of digits after the decimal sign (ISO 4217).
    Raises ValueError for an amount that is not a finite number or digits outside 0 to 4.
    """
    if not Decimal(amount).is_finite():
        raise ValueError("An amount of money must be a number.")
    return ROUNDED[rounding](Fraction(amount) * 10 ** _digits(minor_digits))


def from_minor(minor: int, minor_digits: int) -> Decimal:
    """Whole minor units as an exact amount in the main unit: 1235 with 2 digits to 12.35."""
    digits = _digits(minor_digits)
    sign = 1 if minor < 0 else 0
    return Decimal((sign, tuple(int(figure) for figure in str(abs(minor))), -digits))


def decimal_text(minor: int, minor_digits: int) -> str:
    """Minor units as a plain decimal string for scripts: "12.35", "-0.05", "1200" for no digits."""
    return f"{from_minor(minor, minor_digits):f}"


def _digits(minor_digits: int) -> int:
    if not 0 <= minor_digits <= MOST_MINOR_DIGITS:
        raise ValueError(
            f"A currency has 0 to {MOST_MINOR_DIGITS} digits after the decimal sign,"
            f" not {minor_digits}."
        )
    return minor_digits
