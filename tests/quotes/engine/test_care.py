"""What the owner is told of the care of her furniture, by what it is painted with."""

from itertools import pairwise

import pytest
from hypothesis import given
from hypothesis import strategies as st

from jobs.paint.binders import binders
from jobs.paint.pigments import pigments
from quotes.engine.care import care_for, care_of_harmful, care_rows

FILMS = [key for key, each in binders().items() if each.leaves_film]


def keys(**work) -> list[str]:
    return [row.key for row in care_for(**work)]


def test_varnished_furniture_may_be_wiped_and_bare_paint_only_dusted() -> None:
    assert "wipe-varnished" in keys(tops=["acrylic-varnish"])
    assert "wipe-unvarnished" not in keys(tops=["acrylic-varnish"])
    assert "wipe-unvarnished" in keys(tops=["oil"])
    both = keys(tops=["oil", "resin-varnish"])
    assert {"wipe-varnished", "wipe-unvarnished"} <= set(both)


def test_what_dissolves_the_paint_is_named() -> None:
    assert "no-spirit" in keys(binders=["acrylic"])
    assert "no-thinner" not in keys(binders=["acrylic"])
    assert "no-thinner" in keys(binders=["resin-varnish"])


def test_a_colour_that_fades_asks_for_shade() -> None:
    fading = next(ci for ci, each in pigments().items() if each.lightfast == "III")
    assert "fading" in keys(pigments=[fading])
    assert "fading" not in keys(pigments=["PB29", "PX1"])


def test_what_is_said_under_harmful_colours_stands_nowhere_else() -> None:
    (row,) = care_of_harmful()
    assert "do not sand, scrape or burn" in row.text
    assert row.key not in keys(tops=FILMS, binders=FILMS, pigments=pigments())


def test_polish_dust_heat_sun_and_touching_up_are_always_spoken_of() -> None:
    assert {"gentle", "dust", "no-silicone", "heat", "sun", "touch-up"} <= set(keys())


def test_an_unknown_binder_is_refused() -> None:
    with pytest.raises(ValueError, match="no binder 'egg'"):
        care_for(binders=["egg"])


@given(tops=st.sets(st.sampled_from(FILMS)), more=st.sets(st.sampled_from(FILMS)))
def test_more_kinds_of_paint_never_take_advice_away(tops: set[str], more: set[str]) -> None:
    few, many = keys(tops=tops, binders=tops), keys(tops=tops | more, binders=tops | more)
    assert set(few) <= set(many)
    order = list(care_rows())
    assert all(order.index(one) < order.index(next_) for one, next_ in pairwise(many))
