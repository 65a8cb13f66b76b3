"""Exact money: whole minor units (pence, cents, fils) with the rounding rule named."""

from collections.abc import Callable
from decimal import Decimal
from enum import StrEnum
from fractions import Fraction

Exact = int | Decimal | Fraction


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
