from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from jobs.paint.film import millilitres, wet_film_microns

AREAS = st.floats(0, 10_000_000)
RATES = st.decimals(1, 50, places=1)
WASTES = st.decimals(0, 1, places=2)


@given(AREAS, AREAS, st.integers(0, 9), RATES, WASTES)
def test_a_larger_panel_never_takes_less_paint(
    one: float, more: float, coats: int, rate: Decimal, waste: Decimal
) -> None:
    small = millilitres(one, coats=coats, rate=rate, waste=waste)
    assert millilitres(one + more, coats=coats, rate=rate, waste=waste) >= small


def test_a_stage_without_a_film_takes_no_paint() -> None:
    assert millilitres(62_500, coats=3, rate=None) == 0


@pytest.mark.parametrize("rate", [Decimal(0), Decimal(-1)])
def test_paint_that_spreads_over_nothing_is_refused(rate: Decimal) -> None:
    with pytest.raises(ValueError, match="spread rate"):
        wet_film_microns(rate)
    with pytest.raises(ValueError, match="spread rate"):
        millilitres(100, coats=1, rate=rate)


def test_less_than_nothing_is_refused() -> None:
    with pytest.raises(ValueError, match="less than nothing"):
        millilitres(-1, coats=1, rate=Decimal(10))
