"""Exact money: whole minor units (pence, cents, fils) with the rounding rule named."""

from decimal import Decimal
from fractions import Fraction

Exact = int | Decimal | Fraction


def half_up(value: Exact) -> int:
    """The nearest whole number, a tie going away from zero: 2.5 to 3, -2.5 to -3.

    round-half-up of the General Decimal Arithmetic specification, roundTiesToAway of IEEE 754.
    The arithmetic is exact whatever the size of the number.
    """
    numerator, denominator = value.as_integer_ratio()
    nearest = (2 * abs(numerator) + denominator) // (2 * denominator)
    return nearest if numerator >= 0 else -nearest
