"""Lengths held against the published definition of the inch.

Source: the international yard and pound agreement, in force from 1 July 1959 (announced in the
Federal Register of 1 July 1959, doc. 59-5442): one yard is exactly 0.9144 metre, so that one
inch, its thirty-sixth part, is exactly 25.4 millimetres. From memory: the document number.
"""

from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from studio.units import parse_length, show_length

YARD_IN_MM = Fraction(9144, 10)
INCH_IN_MM = YARD_IN_MM / 36


def tenths(text: str, unit: str = "in") -> int:
    return parse_length(text, unit=unit, locale="en_US")


def test_the_thirty_sixth_part_of_the_yard_is_our_inch():
    assert tenths("1") == INCH_IN_MM * 10 == 254


@pytest.mark.parametrize(
    ("inches", "millimetres"),
    [
        ("1/2", "12.7"),
        ("5", "127"),
        ("10", "254"),
        ("12", "304.8"),  # one foot
        ("36", "914.4"),  # one yard
        ("36 1/2", "927.1"),
        ("72", "1828.8"),  # two yards
        ("100", "2540"),
    ],
)
def test_inches_are_the_millimetres_of_the_agreement(inches, millimetres):
    assert Fraction(tenths(inches), 10) == Fraction(millimetres)
    assert tenths(f"{millimetres} mm") == tenths(inches)
    assert show_length(tenths(inches), unit="in", locale="en_US") == f"{inches} in"


@given(st.integers(1, 4000))
def test_every_half_inch_is_kept_exactly(halves):
    typed = f"{halves // 2} 1/2" if halves % 2 else str(halves // 2)
    assert Fraction(tenths(typed), 10) == INCH_IN_MM * halves / 2


@given(st.integers(1, 16 * 300))
def test_every_sixteenth_is_kept_to_half_a_tenth_of_a_millimetre(sixteenths):
    exact = INCH_IN_MM * 10 * sixteenths / 16
    whole, rest = divmod(sixteenths, 16)
    typed = f"{whole} {rest}/16" if rest else str(whole)
    assert abs(tenths(typed) - exact) <= Fraction(1, 2)
