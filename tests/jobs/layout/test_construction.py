"""Ratio lay-out: circles, steps and the picture of them."""

from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from jobs.layout.construction import construction, ratio_circles, steps
from jobs.layout.shapes import Shape

ratios = st.lists(st.fractions(Fraction(1, 50), 1, max_denominator=50), min_size=1, max_size=6)
sides = st.integers(100, 30_000)


def millimetres(tenths):
    return f"{tenths / 10:.1f} mm"


@given(sides, sides, ratios)
def test_circles_come_smallest_first_and_each_ratio_once(width, height, wanted):
    found = ratio_circles(width, height, wanted)
    assert [circle.ratio for circle in found] == sorted(set(wanted))
    assert [circle.radius for circle in found] == sorted(circle.radius for circle in found)


@given(sides, sides, ratios)
def test_the_same_recipe_on_a_panel_twice_as_large_doubles_every_measure(width, height, wanted):
    once, twice = steps(width, height, wanted), steps(2 * width, 2 * height, wanted)
    assert [step.measure and 2 * step.measure for step in once] == pytest.approx(
        [step.measure for step in twice]
    )


def test_the_steps_say_what_to_set_the_compasses_to():
    told = [step.words(millimetres) for step in steps(2500, 2500)]
    assert told[0].startswith("Check that both diagonals measure 353.6 mm")
    assert "Set the compasses to 35.4 mm (1/5 of the half-diagonal)" in told[5]
    assert "Set the compasses to 88.4 mm (1/2 of the half-diagonal)" in told[6]
    assert [step.number for step in steps(2500, 2500)] == list(range(1, 8))


def test_a_circle_that_runs_past_a_narrow_panel_is_said_to():
    *_, last = steps(1000, 3000, [Fraction(1, 2)])
    assert "runs past the edge" in last.text
    assert not ratio_circles(1000, 3000, [Fraction(1, 2)])[0].fits


@pytest.mark.parametrize("ratio", [Fraction(0), Fraction(-1, 2), Fraction(3, 2)])
def test_a_ratio_off_the_panel_is_refused(ratio):
    with pytest.raises(ValueError, match="off the panel"):
        ratio_circles(1000, 1000, [ratio])


@given(sides, sides, ratios)
def test_every_line_of_the_picture_lies_on_its_sheet(width, height, wanted):
    drawing = construction(Shape("rectangle", width, height), wanted, millimetres)
    for path in drawing.paths:
        if path.role == "label-plate":
            continue
        for move in path.moves:
            for x, y in zip(move[1::2], move[2::2], strict=True):
                assert -1e-6 <= x <= drawing.width + 1e-6
                assert -1e-6 <= y <= drawing.height + 1e-6


def test_the_picture_letters_each_circle_with_its_radius():
    drawing = construction(Shape("circle", 2500, 2500), unit=millimetres)
    assert {label.text for label in drawing.labels} == {"1/5 · 35.4 mm", "1/2 · 88.4 mm"}
