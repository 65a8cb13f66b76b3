"""Money against published rules and reference libraries.

Rounding: General Decimal Arithmetic specification (Cowlishaw), 'round-half-up'; IEEE 754-2008
section 4.3, roundTiesToAway. Reference: Python's decimal module, which implements the former.
Minor digits: ISO 4217, by Babel's table.
"""

from decimal import ROUND_HALF_UP, Decimal, localcontext
from fractions import Fraction

import pytest
from babel.numbers import get_currency_precision
from hypothesis import given
from hypothesis import strategies as st

from quotes.engine.costing import cost
from quotes.engine.money import half_up
from quotes.engine.terms import Supply, Terms, Work
from studio.formats import to_major, to_minor

ticklish = st.integers(-(10**9), 10**9).map(lambda n: Decimal(n) / 2) | st.decimals(
    -(10**9), 10**9, places=3
)


@given(value=ticklish)
def test_half_up_is_the_standards_round_half_up(value: Decimal) -> None:
    assert half_up(value) == int(value.quantize(Decimal(1), ROUND_HALF_UP))


@pytest.mark.parametrize(
    ("amount", "up"),
    [
        # Ties, then near ties.
        ("2.345", 235),
        ("2.335", 234),
        ("-2.345", -235),
        ("0.005", 1),
        ("2.3449999999999999999999999999999999", 234),
        ("2.3450000000000000000000000000000001", 235),
    ],
)
def test_worked_values_of_the_rule(amount: str, up: int) -> None:
    assert to_minor(Decimal(amount), "EUR") == up
    assert half_up(Fraction(amount) * 100) == up


@pytest.mark.parametrize(
    ("currency", "digits", "text"),
    [("JPY", 0, "1235"), ("EUR", 2, "1234.57"), ("KWD", 3, "1234.568")],
)
def test_an_amount_has_the_minor_digits_of_iso_4217(currency: str, digits: int, text: str) -> None:
    assert get_currency_precision(currency) == digits
    assert str(to_major(to_minor(Decimal("1234.5675"), currency), currency)) == text


minutes = st.lists(st.integers(0, 6000), max_size=8)
percent = st.decimals(0, 100, places=1)


@given(
    worked=minutes,
    hourly=st.integers(0, 20_000),
    ml=st.decimals(0, 900, places=1),
    contingency=percent,
    tax=percent,
    deposit=percent,
)
def test_totals_agree_with_a_decimal_computation_in_the_main_unit(
    worked: list[int],
    hourly: int,
    ml: Decimal,
    contingency: Decimal,
    tax: Decimal,
    deposit: Decimal,
) -> None:
    def cents(amount: Decimal) -> Decimal:
        return amount.quantize(Decimal("0.01"), ROUND_HALF_UP)

    with localcontext(prec=60):
        lines = [cents(Decimal(n) * hourly / 100 / 60) for n in worked]
        lines.append(cents(ml * Decimal("18.90") / 250))
        lines.append(cents(sum(lines) * contingency / 100))
        net = sum(lines, Decimal(0))
        total = net + cents(net * tax / 100)
        to_pay_first = cents(total * deposit / 100)

    costing = cost(
        [Work(f"w{place}", "", "Painted", n) for place, n in enumerate(worked)],
        [Supply("gesso", "Gesso", ml, 250, 1890)],
        Terms(hourly, contingency, tax, deposit),
        {},
    )
    assert (costing.net, costing.total) == (net * 100, total * 100)
    assert costing.deposit == to_pay_first * 100
