"""Films against the two-flux equations integrated numerically, and worked hiding cases.

The equations: P. Kubelka & F. Munk, Z. techn. Phys. 12 (1931) 593. With i the light going down,
j the light going up and x counted up from the ground: di/dx = (S + K) i - S j and
dj/dx = -(S + K) j + S i; the film's reflectance is j/i at its top, where j = Rg i at x = 0.
scipy integrates them knowing nothing of the closed solution. Contrast ratio: ISO 6504-1,
Y over black divided by Y over white, white taken as 0.80. No published worked hiding case was
found; the case here was worked by hand from the printed equations.
"""

import math

import pytest

from jobs.paint.colour import Bands
from jobs.paint.hiding import coats_to_hide, contrast_ratio
from jobs.paint.kubelka_munk import (
    absorption_ratio,
    film,
    full_reflectance,
    over,
)
from jobs.paint.opacity import Scattering, dry_film_microns, opacity_classes

FULL = 0.90
S = 0.0437807  # per micron: 0.80 over black at 100 microns (10 m2/l)
PAINT: Bands = (FULL, FULL, FULL)
PALE = "#f3f3f3"


def integrated(ground: float, absorbing: float, scattering: float) -> float:
    """Reflectance from the two fluxes of 1931, each followed through the film."""
    both = absorbing + scattering

    def fluxes(_: float, flux: tuple[float, float]) -> tuple[float, float]:
        down, up = flux
        return both * down - scattering * up, scattering * down - both * up

    from scipy.integrate import solve_ivp  # slow to import

    solved = solve_ivp(fluxes, (0, 1), (1.0, ground), rtol=1e-10, atol=1e-12)
    down, up = solved.y[:, -1]
    return float(up / down)


@pytest.mark.parametrize("ground", [0.0, 0.05, 0.4, 0.8, 1.0])
@pytest.mark.parametrize("absorbing", [0.0, 0.01, 0.5, 3.0])
@pytest.mark.parametrize("scattering", [0.0, 0.02, 1.0, 6.0])
def test_a_film_is_what_its_two_fluxes_add_up_to(ground, absorbing, scattering):
    expected = integrated(ground, absorbing, scattering)
    found = film(ground, absorbing=absorbing, scattering=scattering)
    assert found == pytest.approx(expected, abs=1e-7)


@pytest.mark.parametrize("ground", [0.1, 0.8])
@pytest.mark.parametrize("depth", [0.3, 2.0, 8.0])
def test_a_film_is_the_hyperbolic_solution_as_printed(ground, depth):
    # Kubelka, J. Opt. Soc. Am. 38 (1948) 448: the form with coth.
    a, b = (1 / FULL + FULL) / 2, (1 / FULL - FULL) / 2
    coth = 1 / math.tanh(b * depth)
    printed = (1 - ground * (a - b * coth)) / (a - ground + b * coth)
    assert over(ground, full=FULL, scattering=depth) == pytest.approx(printed, abs=1e-12)


def test_no_film_shows_the_ground_and_an_endless_one_only_itself():
    assert over(0.37, full=0.6, scattering=0.0) == 0.37
    assert over(0.37, full=0.6, scattering=500.0) == pytest.approx(0.6, abs=1e-12)


def test_a_glaze_that_scatters_nothing_takes_the_same_share_each_coat():
    # Limit of the equations for S = 0: R = Rg exp(-2 K X); T = 0.9 gives 0.81 and 0.6561.
    absorbing = -math.log(0.9)
    assert film(0.8, absorbing=absorbing, scattering=0) == pytest.approx(0.81 * 0.8, abs=1e-12)
    twice = film(0.8, absorbing=2 * absorbing, scattering=0)
    assert twice == pytest.approx(0.6561 * 0.8, abs=1e-12)


def test_coats_laid_one_upon_another_are_one_film_of_their_thickness():
    first = over(0.2, full=0.7, scattering=1.3)
    assert over(first, full=0.7, scattering=0.9) == pytest.approx(
        over(0.2, full=0.7, scattering=2.2), abs=1e-12
    )


def test_the_worked_paint_has_its_scattering_and_contrast():
    # R over black 0.80 at 100 microns, endless 0.90, white 0.80: S 0.0437807, C 0.920455.
    assert over(0, full=FULL, scattering=100 * S) == pytest.approx(0.80, abs=1e-6)
    assert contrast_ratio(PAINT, scattered=100 * S) == pytest.approx(0.920455, abs=1e-5)


@pytest.mark.parametrize(("coats", "contrast"), [(1, 0.92045), (2, 0.97794), (3, 0.99227)])
def test_each_coat_of_the_worked_paint_has_its_contrast(coats, contrast):
    assert contrast_ratio(PAINT, scattered=coats * 100 * S) == pytest.approx(contrast, abs=1e-5)


def test_the_worked_paint_hides_at_its_spreading_rate_and_not_at_the_fixed_one():
    # C = 0.98 at 208.83 microns or 4.789 m2/l; at 20 m2/l (ISO 6504-3:2006) C = 0.80346.
    assert contrast_ratio(PAINT, scattered=208.83 * S) == pytest.approx(0.98, abs=1e-5)
    assert contrast_ratio(PAINT, scattered=1000 / 20 * S) == pytest.approx(0.80346, abs=1e-5)


def test_three_coats_of_the_worked_paint_hide_by_the_standard():
    # #f3f3f3 is a full reflectance of 0.896, the nearest a screen colour comes to 0.90.
    worked = coats_to_hide("#000000", PALE, Scattering(S, S, S), 100)
    assert worked.by_contrast == 3


@pytest.mark.parametrize(
    ("full", "depth"),
    [(0.95, 10.809), (0.90, 9.1427), (0.85, 7.6670), (0.80, 6.5007), (0.70, 4.8381), (0.5, 2.8717)],
)
def test_full_hiding_takes_the_scattering_worked_out_for_each_brightness(full, depth):
    assert contrast_ratio((full, full, full), scattered=depth) == pytest.approx(0.98, abs=2e-6)


def test_paint_as_bright_as_the_chart_leaves_its_white_alone():
    # Full reflectance 0.80 on white 0.80: it stays 0.80, over black it is 0.784 at C = 0.98.
    assert over(0.80, full=0.80, scattering=6.5007) == pytest.approx(0.80, abs=1e-12)
    assert over(0.0, full=0.80, scattering=6.5007) == pytest.approx(0.784, abs=1e-5)


def test_the_ratio_of_absorbing_to_scattering_goes_forth_and_back():
    # (1 - R)^2 / 2R: 0.90 gives 0.0055556, so a = 1.0055556 as in the worked case.
    assert absorption_ratio(FULL) == pytest.approx(0.00555556, abs=1e-8)
    assert full_reflectance(absorption_ratio(FULL)) == pytest.approx(FULL, abs=1e-12)


def test_opacity_classes_are_calibrated_to_the_coats_they_name():
    # ISO 6504-1 (0.98) and ASTM D1640-03 Table 1 (oil paint dries 45 microns thick).
    for each in opacity_classes().values():
        film_of_coats = 45 * each.white_coats * each.scattering.likely
        assert contrast_ratio(PAINT, scattered=film_of_coats) == pytest.approx(0.98, abs=1e-3)


def test_the_worked_paint_if_dried_to_four_tenths_is_of_the_opaque_class():
    opaque = opacity_classes()["opaque"].scattering
    dry = S * 100 / dry_film_microns(10, percent=40)
    assert opaque.low <= dry <= opaque.high


@pytest.mark.parametrize(("rate", "percent", "dry"), [(5.68, 71, 125), (5.2, 65, 125)])
def test_dry_film_is_wet_film_by_volume_solids(rate, percent, dry):
    # Coatings trade: Tech Note 5.3 (71 %, 125 microns: 5.68 m2/l); general sheet (65 %: 5.2).
    assert dry_film_microns(rate, percent=percent) == pytest.approx(dry, rel=1e-3)
