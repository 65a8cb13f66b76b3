"""Shapes: their size, their edge, and what is said about one that cannot be painted."""

from itertools import pairwise

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
    polygon,
)

sides = st.integers(10, LONGEST)


ROUND_OR_SQUARE = [kind for kind in KINDS if kind != "polygon"]


@st.composite
def shapes(draw, kinds=None):
    kind = draw(st.sampled_from(ROUND_OR_SQUARE) if kinds is None else kinds)
    width, height = draw(sides), draw(sides)
    rise = draw(st.integers(0, min(width // 2, height))) if kind == "arch" else 0
    band = draw(st.integers(1, (min(width, height) - 1) // 2)) if kind == "frame" else 0
    return Shape(kind, width, height, rise=rise, band=band)


frames = shapes(st.just("frame"))


def rings(drawn) -> list[list[tuple[float, float]]]:
    """The closed straight-sided rings of a drawing, each from its M to its Z."""
    found = []
    for move in drawn:
        if move[0] == "M":
            found.append([])
        if move[0] != "Z":
            found[-1].append(move[-2:])
    return found


def turning(ring) -> float:
    """Twice the area it goes round, more than nothing one way and less the other."""
    return sum(a[0] * b[1] - b[0] * a[1] for a, b in pairwise([*ring, ring[0]]))


@given(shapes())
def test_the_outline_has_the_area_of_the_formula(shape):
    assert outline(shape).area / 100 == pytest.approx(area(shape), rel=2e-4)


@given(shapes(), st.integers(0, 5000), st.integers(0, 5000))
def test_the_outline_fills_its_box_and_stays_in_it(shape, left, top):
    box = (left, top, left + shape.width, top + shape.height)
    assert outline(shape, left, top).bounds == pytest.approx(box, abs=1e-6)


@given(shapes(), st.integers(2, 9))
@settings(max_examples=50)
def test_a_panel_n_times_as_large_has_n_squared_the_area_and_n_times_the_edge(shape, times):
    sizes = {part: getattr(shape, part) * times for part in ("width", "height", "rise", "band")}
    large = Shape(shape.kind, **sizes)
    assert area(large) == pytest.approx(area(shape) * times**2)
    assert outline(large).length == pytest.approx(outline(shape).length * times, rel=1e-4)
    assert half_diagonal(large) == pytest.approx(half_diagonal(shape) * times)


@given(shapes())
def test_a_drawn_curve_begins_and_ends_on_the_edge_and_closes(shape):
    drawn = moves(shape, 100, 200)
    assert (drawn[0][0], drawn[-1]) == ("M", ("Z",))
    edge = outline(shape, 100, 200).boundary
    for move in (move for move in drawn if move != ("Z",)):
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
@pytest.mark.parametrize("kind", ROUND_OR_SQUARE)
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
        ([(n, n * n) for n in range(61)], "take an oval"),
    ],
)
def test_corners_that_make_no_panel_get_a_sentence(corners, word):
    [(field, sentence)] = complaints(polygon(corners))
    assert field == "points"
    assert word in sentence


def test_sixty_corners_can_be_painted():
    assert complaints(polygon([(n, n * n) for n in range(60)])) == ()


def test_a_bow_tie_crosses_itself():
    [(field, sentence)] = complaints(polygon([(0, 0), (100, 90), (100, 0), (0, 100)]))
    assert (field, "cross" in sentence) == ("points", True)


def test_corners_that_miss_the_given_size_get_a_sentence():
    triangle = Shape("polygon", 900, 900, ((0, 0), (100, 0), (0, 100)))
    assert [field for field, _ in complaints(triangle)] == ["points"]


def test_an_arch_cannot_rise_above_itself():
    assert [field for field, _ in complaints(Shape("arch", 1000, 300, rise=301))] == ["rise"]
    assert [field for field, _ in complaints(Shape("arch", 1000, 900, rise=-1))] == ["rise"]


@given(frames)
def test_the_two_edges_of_a_frame_go_round_opposite_ways(shape):
    # So the inside is a hole whether one counts the windings or the crossings.
    outer, inner = rings(moves(shape, 30, 40))
    assert turning(outer) * turning(inner) < 0
    assert abs(turning(outer)) - abs(turning(inner)) == pytest.approx(2 * 100 * area(shape))


@given(frames)
def test_a_frame_and_what_it_leaves_free_make_up_its_box(shape):
    inside = Shape("rectangle", *shape.hole)
    whole = Shape("rectangle", shape.width, shape.height)
    assert area(shape) + area(inside) == pytest.approx(area(whole))
    assert outline(shape).length == pytest.approx(outline(inside).length + outline(whole).length)
    assert half_diagonal(shape) == half_diagonal(whole)


def test_a_border_five_centimetres_wide_round_a_door_of_40_by_84():
    # Two sides of 5 x 84 cm and two of 5 x 30 cm between them: 1140 cm2.
    assert area(Shape("frame", 4000, 8400, band=500)) == 114_000


@pytest.mark.parametrize("band", [0, -1, 1000, 1001, 9000])
def test_a_band_that_makes_no_frame_is_named_beside_its_field(band):
    [(field, sentence)] = complaints(Shape("frame", 2000, 3000, band=band))
    assert field == "band"
    assert sentence.endswith(("more than nothing.", "less than half the width and height."))


def test_a_band_just_under_half_makes_a_frame():
    assert complaints(Shape("frame", 2000, 3000, band=999)) == ()


def test_an_unknown_shape_lists_the_known_ones():
    [(field, sentence)] = complaints(Shape("blob", 100, 100))
    assert field == "kind"
    assert all(kind in sentence for kind in KINDS)
