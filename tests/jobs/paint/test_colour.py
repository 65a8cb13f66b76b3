import pytest
from hypothesis import given
from hypothesis import strategies as st

from jobs.paint.colour import bands, difference, lab, luminance, swatch

COLOURS = st.integers(0, 0xFFFFFF).map(lambda number: f"#{number:06x}")
SHARES = st.floats(0, 1)


@given(COLOURS)
def test_a_colour_comes_back_from_its_bands_unchanged(colour):
    assert swatch(bands(colour)) == colour


@given(COLOURS, COLOURS)
def test_a_difference_is_the_same_both_ways_and_none_from_itself(one, other):
    there, back = difference(bands(one), bands(other)), difference(bands(other), bands(one))
    assert there == pytest.approx(back, abs=1e-9)
    assert there >= 0
    assert difference(bands(one), bands(one)) == 0


@given(SHARES, SHARES, SHARES, st.floats(0, 1))
def test_more_light_in_every_band_is_never_darker(long, middle, short, by):
    dimmer = (long * by, middle * by, short * by)
    assert luminance(dimmer) <= luminance((long, middle, short)) + 1e-12
    assert lab(dimmer)[0] <= lab((long, middle, short))[0] + 1e-9


@pytest.mark.parametrize("colour", ["", "red", "#fff", "#12345g", "a0b1c2", "#a0b1c2 "])
def test_a_colour_that_is_none_is_answered_with_how_it_is_written(colour):
    with pytest.raises(ValueError, match="written like #a0b1c2"):
        bands(colour)


@pytest.mark.parametrize("share", [-0.01, 1.01, float("nan"), float("inf")])
def test_a_surface_cannot_send_back_more_than_all_light_or_less_than_none(share):
    with pytest.raises(ValueError, match="between none and all of the light"):
        swatch((0.5, share, 0.5))
