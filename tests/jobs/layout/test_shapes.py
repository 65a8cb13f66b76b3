"""Shapes: their size, their edge, and what is said about one that cannot be painted."""

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from shapely import Point

from jobs.layout.shapes import (
    KINDS,
    LONGEST,
    Shape,
    area,
    complaints,
    half_diagonal,
    moves,
    outline,
    perimeter,
    polygon,
)

sides = st.integers(10, LONGEST)


@st.composite
def shapes(draw):
    kind = draw(st.sampled_from(KINDS[:4]))
    width, height = draw(sides), draw(sides)
    rise = draw(st.integers(0, min(width // 2, height))) if kind == "arch" else 0
    return Shape(kind, width, height, rise=rise)


@given(shapes())
def test_the_outline_has_the_area_of_the_formula(shape):
    assert outline(shape).area / 100 == pytest.approx(area(shape), rel=2e-4)


@given(shapes())
def test_the_outline_has_the_edge_of_the_formula(shape):
    assert outline(shape).length == pytest.approx(perimeter(shape), rel=2e-4)


@given(shapes(), st.integers(0, 5000), st.integers(0, 5000))
def test_the_outline_fills_its_box_and_stays_in_it(shape, left, top):
    box = (left, top, left + shape.width, top + shape.height)
    assert outline(shape, left, top).bounds == pytest.approx(box, abs=1e-6)


@given(shapes(), st.integers(2, 9))
@settings(max_examples=50)
def test_a_panel_n_times_as_large_has_n_squared_the_area_and_n_times_the_edge(shape, times):
    large = Shape(shape.kind, shape.width * times, shape.height * times, rise=shape.rise * times)
    assert area(large) == pytest.approx(area(shape) * times**2)
    assert perimeter(large) == pytest.approx(perimeter(shape) * times)
    assert half_diagonal(large) == pytest.approx(half_diagonal(shape) * times)


@given(shapes())
def test_a_drawn_curve_begins_and_ends_on_the_edge_and_closes(shape):
    drawn = moves(shape, 100, 200)
    assert (drawn[0][0], drawn[-1]) == ("M", ("Z",))
    edge = outline(shape, 100, 200).exterior
    for move in drawn[:-1]:
        x, y = move[-2:]
        assert edge.distance(Point(x, y)) < max(shape.width, shape.height) * 1e-4


@given(shapes())
def test_every_ordinary_shape_can_be_painted(shape):
    assert complaints(shape) == ()


def test_a_round_arch_has_a_half_circle_for_its_head():
    # 20 cm wide, 30 cm high: 20 x 20 below, half a circle of 10 cm radius above.
    assert area(Shape("arch", 2000, 3000)) == pytest.approx(40_000 + 15_707.963)


def test_an_arch_with_a_low_rise_is_nearly_a_rectangle():
    low, full = Shape("arch", 2000, 3000, rise=20), Shape("rectangle", 2000, 3000)
    assert area(full) - area(low) < 0.02 * area(full)


def test_a_circle_is_as_high_as_it_is_wide():
    assert Shape("circle", 1200, 77).height == 1200


def test_a_straight_sided_panel_is_moved_into_its_box():
    kite = polygon([(500, 100), (900, 400), (500, 1100), (100, 400)])
    assert (kite.width, kite.height) == (800, 1000)
    assert kite.points == ((400, 0), (800, 300), (400, 1000), (0, 300))
    assert complaints(kite) == ()


@pytest.mark.parametrize("size", [0, -1, -5000])
@pytest.mark.parametrize("kind", KINDS[:4])
def test_a_size_of_nothing_is_named_beside_its_field(kind, size):
    assert complaints(Shape(kind, size, 1000)) == (
        ("width", "The width must be more than nothing."),
    )


def test_a_size_of_a_thousand_million_asks_after_the_unit():
    [(field, sentence)] = complaints(Shape("rectangle", 1000, 10**9))
    assert field == "height"
    assert "right unit" in sentence


def test_a_circle_complains_once_about_its_one_size():
    assert [field for field, _ in complaints(Shape("circle", 0, 0))] == ["width"]


@pytest.mark.parametrize(
    ("corners", "word"),
    [
        ([], "at least three"),
        ([(0, 0), (10, 0)], "at least three"),
        ([(0, 0), (10, 0), (0, 0), (10, 0)], "at least three"),
        ([(0, 0), (100, 100), (200, 200)], "one line"),
        ([(0, 0), (100, 100), (100, 0), (0, 100), (-50, 0)], "cross"),
        ([(0, 0), (10**9, 0), (0, 100)], "ten metres"),
        ([(n, n * n) for n in range(300)], "200 corners"),
    ],
)
def test_corners_that_make_no_panel_get_a_sentence(corners, word):
    [(field, sentence)] = complaints(polygon(corners))
    assert field == "points"
    assert word in sentence


def test_a_bow_tie_crosses_itself():
    [(field, sentence)] = complaints(polygon([(0, 0), (100, 90), (100, 0), (0, 100)]))
    assert (field, "cross" in sentence) == ("points", True)


def test_corners_that_miss_the_given_size_get_a_sentence():
    triangle = Shape("polygon", 900, 900, ((0, 0), (100, 0), (0, 100)))
    assert [field for field, _ in complaints(triangle)] == ["points"]


def test_an_arch_cannot_rise_above_itself():
    assert [field for field, _ in complaints(Shape("arch", 1000, 300, rise=301))] == ["rise"]
    assert [field for field, _ in complaints(Shape("arch", 1000, 900, rise=-1))] == ["rise"]


def test_an_unknown_shape_lists_the_known_ones():
    [(field, sentence)] = complaints(Shape("blob", 100, 100))
    assert field == "kind"
    assert all(kind in sentence for kind in KINDS)
