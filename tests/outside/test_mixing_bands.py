"""Mixing in three bands against mixing the whole spectrum, with published spectra.

Reflectances: nine patches of the test chart of ISO 17321-1. Observer: CIE 1931, 2 degrees, as
held by the colour library. Daylight: relative power of CIE D65 (ISO/CIE 11664-2), every 20 nm.
"""

from itertools import combinations

import pytest
from coloraide import Color
from coloraide.cmfs import CIE_1931_2DEG

from jobs.paint.colour import Bands, lab, lab_difference
from jobs.paint.kubelka_munk import absorption_ratio, full_reflectance
from jobs.paint.values import values

WAVES = range(400, 701, 20)
D65 = (
    "82.75 93.43 104.86 117.81 115.92 109.35 104.79 104.4 "
    "100 95.79 90.01 87.7 83.7 80.21 78.28 71.61"
)
CHART = {
    "white": "409 840 883 887 888 887 887 887 887 887 887 891 890 889 888 888",
    "black": "35 36 35 35 34 34 34 34 33 33 33 33 33 33 33 32",
    "yellow": "53 52 53 59 121 303 475 597 660 708 737 753 768 780 785 792",
    "orange": "54 52 52 52 55 61 86 170 297 452 532 566 587 604 615 628",
    "red": "51 49 49 48 45 44 44 45 50 72 192 486 654 700 718 729",
    "blue": "136 208 290 338 239 120 66 48 43 40 39 40 42 43 44 48",
    "green": "58 59 65 78 113 180 324 355 281 196 124 89 80 75 78 88",
    "dark brown": "65 64 55 52 54 61 70 76 87 115 138 154 173 204 242 282",
    "purple": "177 206 168 120 86 67 58 52 55 52 59 99 149 193 248 319",
}
"""Thousandths of the light sent back, every 20 nm from 400 nm."""


def spectrum(patch: str) -> list[float]:
    return [int(each) / 1000 for each in CHART[patch].split()]


def seen(reflectances: list[float]) -> Color:
    """Sum over the spectrum, the perfect white being the white of the screen."""
    power = [float(each) for each in D65.split()]

    def weigh(place: int, shares: list[float]) -> float:
        matching = [CIE_1931_2DEG[wave][place] for wave in WAVES]
        return sum(m * p * r for m, p, r in zip(matching, power, shares, strict=True))

    white = Color("white").convert("xyz-d65").coords()
    perfect = [1.0] * len(power)
    xyz = [white[i] * weigh(i, reflectances) / weigh(i, perfect) for i in range(3)]
    return Color("xyz-d65", xyz)


def mixed(one: list[float], other: list[float], share: float) -> list[float]:
    return [
        full_reflectance(share * absorption_ratio(a) + (1 - share) * absorption_ratio(b))
        for a, b in zip(one, other, strict=True)
    ]


def in_bands(patch: str) -> Bands:
    long, middle, short = (
        min(max(each, 0.0), 1.0) for each in seen(spectrum(patch)).convert("srgb-linear").coords()
    )
    return long, middle, short


def error(one: str, other: str, share: float) -> float:
    """ΔE00 between the mix by bands and the mix by the spectrum."""
    whole = seen(mixed(spectrum(one), spectrum(other), share)).convert("lab-d65").coords()
    long, middle, short = mixed(list(in_bands(one)), list(in_bands(other)), share)
    return lab_difference((whole[0], whole[1], whole[2]), lab((long, middle, short)))


def test_the_error_stated_for_three_bands_is_that_of_published_spectra():
    stated = values("mixing.toml")["three-bands"]
    shares = (0.1, 0.25, 0.5, 0.75, 0.9)
    errors = sorted(error(*pair, share) for pair in combinations(CHART, 2) for share in shares)
    assert len(errors) == 180
    half, most, nearly_all = (errors[int(180 * part)] for part in (0.5, 0.8, 0.95))
    assert (stated.low, stated.value, stated.high) == pytest.approx(
        (half, most, nearly_all), abs=0.1
    )


@pytest.mark.parametrize("patch", CHART)
def test_a_colour_by_itself_loses_nothing_in_three_bands(patch):
    assert error(patch, patch, 0.5) < 0.5
