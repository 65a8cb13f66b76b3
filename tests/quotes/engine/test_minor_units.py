"""Minor units: money goes in and out exactly."""

from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from quotes.engine.money import Rounding, decimal_text, from_minor, half_up, to_minor

MINOR = st.integers(-(10**15), 10**15)
DIGITS = st.integers(0, 4)


@given(minor=MINOR, digits=DIGITS)
def test_minor_units_survive_the_way_to_an_amount_and_back(minor: int, digits: int) -> None:
    assert to_minor(from_minor(minor, digits), digits) == minor


@given(minor=MINOR, digits=DIGITS)
def test_a_decimal_string_has_exactly_the_digits_of_the_currency(minor: int, digits: int) -> None:
    text = decimal_text(minor, digits)
    assert len(text.partition(".")[2]) == digits
    assert to_minor(Decimal(text), digits) == minor


@given(value=st.decimals(allow_nan=False, allow_infinity=False, places=5, max_value=10**9))
def test_rounding_moves_an_amount_by_half_a_unit_at_the_most(value: Decimal) -> None:
    assert abs(half_up(value) - value) <= Decimal("0.5")


@pytest.mark.parametrize(
    ("minor", "digits", "text"),
    [(1235, 2, "12.35"), (-5, 2, "-0.05"), (1200, 0, "1200"), (7, 3, "0.007"), (0, 2, "0.00")],
)
def test_amounts_read_as_plain_decimals(minor: int, digits: int, text: str) -> None:
    assert decimal_text(minor, digits) == text


def test_half_even_can_be_asked_for() -> None:
    assert to_minor(Decimal("2.345"), 2, Rounding.HALF_EVEN) == 234


@pytest.mark.parametrize("amount", ["NaN", "Infinity"])
def test_what_is_not_a_number_is_not_money(amount: str) -> None:
    with pytest.raises(ValueError, match="must be a number"):
        to_minor(Decimal(amount), 2)


@pytest.mark.parametrize("digits", [-1, 5])
def test_no_currency_has_such_minor_digits(digits: int) -> None:
    with pytest.raises(ValueError, match="0 to 4 digits"):
        from_minor(1, digits)
