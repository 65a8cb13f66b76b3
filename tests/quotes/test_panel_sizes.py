"""How the paper tells the size of a panel, and what a border costs."""

import pytest

from jobs.models import Panel
from quotes.domain.pricing import price_commission
from quotes.papers import panel_size_words
from studio.models import Studio
from tests.cast import asked, panel_of, piece_of, surface_of


@pytest.mark.parametrize(
    ("unit", "panel", "words"),
    [
        ("cm", {"kind": "frame", "height": 8400, "band": 500}, "40 cm × 84 cm frame, 5 cm wide"),
        ("cm", {"kind": "oval", "height": 2500}, "40 cm × 25 cm oval"),
        ("cm", {"kind": "circle", "height": 4000}, "40 cm circle"),
        ("in", {"kind": "frame", "width": 2540, "height": 5080, "band": 254}, "frame, 1 in wide"),
    ],
)
def test_a_panel_is_told_by_its_size_and_shape(unit, panel, words):
    told = panel_size_words(Panel(**{"width": 4000, **panel}), Studio(unit=unit))
    assert told.endswith(words)


def test_a_border_is_priced_by_its_band_and_not_by_what_it_goes_round(anna):
    surface = surface_of(piece_of(asked(anna.studio)))
    panel_of(surface, "Border", width=9000, height=5000, kind="frame", band=500)
    whole = surface_of(surface.piece, "Bottom")
    panel_of(whole, "Whole", width=9000, height=5000)
    border, field = price_commission(surface.piece.commission).panels
    assert 0 < border.minutes < field.minutes
    assert 0 < border.amount < field.amount
