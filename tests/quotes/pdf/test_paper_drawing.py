"""Drawings on paper: true to scale, and each role with a look of its own."""

import io
from fractions import Fraction

import pdfplumber
import pytest
from hypothesis import given
from hypothesis import strategies as st
from quotes_pdf_sample import CHEST, box
from reportlab.pdfgen.canvas import Canvas

from jobs.layout.drawing import ROLES, Drawing, Label, Path
from quotes.pdf import fonts
from quotes.pdf.drawing import (
    LETTERINGS,
    LOOKS,
    POINTS_PER_TENTH,
    SCALES,
    draw,
    scale_for,
    scale_text,
)
from quotes.pdf.ink import ink_of


def on_paper(drawing: Drawing, scale: Fraction) -> pdfplumber.page.Page:
    """The drawing alone, its corner 20 mm from the left and the top of an A4 page."""
    fonts.register()
    target = io.BytesIO()
    canvas = Canvas(target, (595.28, 841.89), initialFontName=fonts.REGULAR)
    draw(canvas, drawing, 20 / 25.4 * 72, 841.89 - 20 / 25.4 * 72, scale)
    canvas.save()
    target.seek(0)
    return pdfplumber.open(target).pages[0]


def millimetres(points: float) -> float:
    return points / 72 * 25.4


def test_a_length_on_paper_is_the_length_of_the_piece_by_the_scale() -> None:
    board, panel = on_paper(CHEST, Fraction(10)).rects[:2]
    assert millimetres(board["width"]) == pytest.approx(90)
    assert millimetres(board["height"]) == pytest.approx(60)
    assert millimetres(panel["x0"]) == pytest.approx(25)
    assert millimetres(panel["top"]) == pytest.approx(25)


def test_a_panel_is_filled_with_its_ground_and_outlined_in_ink() -> None:
    panel = on_paper(CHEST, Fraction(10)).rects[1]
    assert panel["non_stroking_color"] == pytest.approx(ink_of("#2f5d4a").rgb(), abs=1e-5)
    assert panel["stroke"]


def test_an_undecided_ground_is_dashed_so_that_it_shows_without_colour() -> None:
    decided, undecided = on_paper(CHEST, Fraction(10)).rects[1:3]
    assert decided["dash"] in (None, ([], 0))
    assert undecided["dash"][0]


def test_a_label_is_as_large_as_the_drawing_says() -> None:
    letter = on_paper(CHEST, Fraction(10)).chars[0]
    assert letter["text"] == "A"
    assert letter["size"] == pytest.approx(400 * POINTS_PER_TENTH / 10, abs=0.01)


def test_a_curve_arrives_as_a_curve() -> None:
    arc = (("M", 0.0, 0.0), ("C", 0.0, 500.0, 500.0, 1000.0, 1000.0, 1000.0), ("Z",))
    page = on_paper(Drawing(1000, 1000, (Path(arc, "panel"),)), Fraction(1))
    assert millimetres(page.curves[0]["width"]) == pytest.approx(100)


def test_an_unknown_role_is_a_thin_outline_and_not_a_failure() -> None:
    page = on_paper(Drawing(1000, 1000, (Path(box(0, 0, 1000, 1000), "new"),)), Fraction(1))
    assert page.rects[0]["stroke"]
    assert not page.rects[0]["fill"]


def test_an_unknown_move_is_refused() -> None:
    with pytest.raises(ValueError, match="moves M, L, C and Z"):
        on_paper(Drawing(10, 10, (Path((("Q", 0.0, 0.0),), "panel"),)), Fraction(1))


@pytest.mark.parametrize("anchor", ["start", "middle", "end"])
def test_a_label_hangs_on_its_anchor(anchor: str) -> None:
    page = on_paper(Drawing(1000, 100, (Label(500, 50, "Lid", "label", anchor),)), Fraction(1))
    left, right = page.chars[0]["x0"], page.chars[-1]["x1"]
    at = {"start": left, "middle": (left + right) / 2, "end": right}
    assert millimetres(at[anchor]) == pytest.approx(70, abs=0.01)


def test_every_role_of_a_drawing_has_a_look_on_paper() -> None:
    assert set(ROLES) == set(LOOKS) | set(LETTERINGS)


@given(
    width=st.floats(100, 200_000),
    height=st.floats(100, 200_000),
    room=st.tuples(st.floats(50, 600), st.floats(50, 600)),
)
def test_the_scale_chosen_is_the_largest_that_fits(
    width: float, height: float, room: tuple[float, float]
) -> None:
    drawing = Drawing(width, height, ())
    scale = scale_for(drawing, *room)

    def fits(by: Fraction) -> bool:
        on_page = [side * POINTS_PER_TENTH / float(by) for side in (width, height)]
        return all(side <= space * 1.0011 for side, space in zip(on_page, room, strict=True))

    assert fits(scale)
    assert not any(fits(larger * Fraction(999, 1000)) for larger in SCALES if larger < scale)


@pytest.mark.parametrize(("scale", "text"), [("10", "1:10"), ("1", "1:1"), ("5/2", "2:5")])
def test_a_scale_is_told_in_whole_numbers(scale: str, text: str) -> None:
    assert scale_text(Fraction(scale)) == text


def test_a_colour_may_be_written_short_but_not_wrong() -> None:
    assert ink_of("#abc") == ink_of("#aabbcc")
    with pytest.raises(ValueError, match="not a colour"):
        ink_of("#abcd")
