"""Film thickness and paint needed, against published identities and data sheets."""

from decimal import Decimal

import pytest

from jobs.paint.binders import binder, binders
from jobs.paint.film import millilitres, wet_film_microns

SQUARE_FOOT_M2 = 0.09290304  # exact: international foot of 0.3048 m
US_GALLON_L = 3.785411784  # exact: 231 cubic inches
US_FLUID_OUNCE_ML = 29.5735295625  # exact: a gallon has 128


def rate_from_us(square_feet: float, gallons: float) -> float:
    return square_feet * SQUARE_FOOT_M2 / (gallons * US_GALLON_L)


@pytest.mark.parametrize(("rate", "microns"), [(10, 100.0), (8, 125.0), (20, 50.0)])
def test_wet_film_is_a_thousand_over_the_spread_rate(rate: int, microns: float) -> None:
    # The identity of coating data sheets; 20 m2/l and 50 microns: ISO 6504-3:2006, fixed rate.
    assert wet_film_microns(rate) == pytest.approx(microns)


def test_the_starting_rate_for_gesso_is_the_published_hundred_square_feet_a_litre() -> None:
    # The Paint Spot, "How much paint do I need?": 1 litre covers about 100 square feet a coat.
    published = 100 * SQUARE_FOOT_M2
    assert wet_film_microns(published) == pytest.approx(107.6, abs=0.1)
    assert float(binder("gesso").rate or 0) == pytest.approx(published, rel=0.01)


@pytest.mark.parametrize("key", ["acrylic", "acrylic-varnish"])
def test_acrylics_spread_as_the_makers_article_says(key: str) -> None:
    # Liquitex support article: soft-body acrylic and varnish, 400 square feet a US gallon.
    published = rate_from_us(400, 1)
    assert wet_film_microns(published) == pytest.approx(101.9, abs=0.1)
    assert float(binder(key).rate or 0) == pytest.approx(published, rel=0.01)


def test_two_coats_of_oil_ground_on_a_square_metre_take_what_the_maker_states() -> None:
    # Gamblin, Oil Ground page: 8 fluid ounces cover 12 square feet in two coats.
    rate = Decimal(2 * 12 * SQUARE_FOOT_M2 / (8 * US_FLUID_OUNCE_ML / 1000))
    assert float(rate) == pytest.approx(9.42, abs=0.01)
    assert float(millilitres(1_000_000, coats=2, rate=rate)) == pytest.approx(212, abs=0.5)


def test_oil_spread_thin_leaves_the_standard_film() -> None:
    # ASTM D1640-03 Table 1: oil paint dries 45 +/- 2.5 microns thick; hardly anything
    # evaporates from tube colour, so wet and dry film are taken alike.
    rate = binder("oil").rate
    assert rate is not None
    assert 42.5 <= wet_film_microns(rate) <= 47.5


def test_practical_need_is_theory_without_loss() -> None:
    # Coating trade's note on the consumption factor: litres = area x coats x (1 + loss) / rate.
    assert millilitres(2_000_000, coats=3, rate=Decimal(10)) == Decimal(600)
    assert millilitres(2_000_000, coats=3, rate=Decimal(10), waste=Decimal("0.25")) == Decimal(750)


def test_no_shipped_rate_pours_instead_of_spreading() -> None:
    # "An ounce on 25 square inches", a popular rule, is a pour of 1.83 mm and no film.
    pour = US_FLUID_OUNCE_ML * 1000 / (25 * 25.4**2)
    assert pour == pytest.approx(1.83, abs=0.01)
    films = [wet_film_microns(each.rate) for each in binders().values() if each.rate]
    assert max(films) < 250 < pour * 1000
