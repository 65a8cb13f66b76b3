"""Lay-out held against geometry from outside the project.

Sources: Pythagoras' theorem (Euclid, Elements I.47); the area of a circle (Archimedes, Measurement
of a Circle); circumscribed and inscribed circles of a square, of which the ratio lay-out of a
square panel is made; Ramanujan, "Modular equations and approximations to pi", Quarterly Journal of
Mathematics 45 (1914), for the perimeter of an ellipse; the GEOS geometry library, by way of
shapely, as an independent reckoner of areas, edges and hatching.
"""

from fractions import Fraction
from math import hypot, pi, sqrt

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from shapely import LineString, Point, Polygon, box
from shapely.affinity import scale

from jobs.layout.construction import ratio_circles
from jobs.layout.shapes import Shape, area, half_diagonal, outline, polygon

SIDE = 2500
"""The worked example: a square of 25 cm in tenths of a millimetre."""


@pytest.fixture
def circles():
    small, large = ratio_circles(SIDE, SIDE, (Fraction(1, 2), Fraction(1, 5)))
    return small, large


def test_a_square_of_25_cm_has_circles_of_35_36_and_88_39_mm(circles):
    small, large = circles
    assert (round(small.radius / 10, 2), round(large.radius / 10, 2)) == (35.36, 88.39)


def test_the_circles_of_a_square_follow_from_its_diagonal(circles):
    # s√2 is the diagonal of a square (Elements I.47), so a fifth of half of it is s√2/10.
    small, large = circles
    assert small.radius == pytest.approx(SIDE * sqrt(2) / 10)
    assert large.radius == pytest.approx(SIDE * sqrt(2) / 4)
    assert large.radius / small.radius == pytest.approx(2.5)


def test_the_large_circle_leaves_the_known_gaps_to_side_and_corner(circles):
    _, large = circles
    to_side = SIDE / 2 - large.radius
    to_corner = half_diagonal(Shape("rectangle", SIDE, SIDE)) - large.radius
    assert to_side / 10 == pytest.approx(36.61, abs=0.005)
    assert to_corner / 10 == pytest.approx(88.39, abs=0.005)
    assert to_corner == pytest.approx(large.radius)


def test_the_ring_between_the_circles_has_206_2_square_centimetres(circles):
    small, large = circles
    ring = Point(0, 0).buffer(large.radius, 256) - Point(0, 0).buffer(small.radius, 256)
    by_formula = pi * (large.radius**2 - small.radius**2)
    assert by_formula / 10_000 == pytest.approx(206.2, abs=0.05)
    assert ring.area == pytest.approx(by_formula, rel=1e-4)


@pytest.mark.parametrize(("a", "b", "c"), [(3, 4, 5), (5, 12, 13), (8, 15, 17), (20, 21, 29)])
def test_half_a_diagonal_is_half_the_hypotenuse_of_a_pythagorean_triple(a, b, c):
    assert half_diagonal(Shape("rectangle", a * 100, b * 100)) == c * 50


@given(width=st.integers(100, 30_000), height=st.integers(100, 30_000))
def test_half_the_diagonal_is_the_way_from_centre_to_corner_as_shapely_measures_it(width, height):
    edge = outline(Shape("rectangle", width, height))
    corner = Point(edge.exterior.coords[0])
    assert half_diagonal(Shape("rectangle", width, height)) == pytest.approx(
        edge.centroid.distance(corner)
    )


@given(width=st.integers(100, 30_000), height=st.integers(100, 30_000))
@settings(max_examples=50)
def test_the_area_of_an_oval_is_that_of_a_stretched_unit_circle(width, height):
    unit = Point(0, 0).buffer(1, 512)
    stretched = scale(unit, width / 2, height / 2)
    assert area(Shape("oval", width, height)) == pytest.approx(stretched.area / 100, rel=1e-5)


@given(width=st.integers(100, 10_000), lowness=st.fractions(Fraction(1, 5), 3))
@settings(max_examples=50)
def test_the_area_of_an_arch_is_that_of_a_circle_and_a_rectangle_joined(width, lowness):
    """An arch is its straight part and what a circle shows above the springing.

    Heads flatter than a fifth are left out: there the library's own circle is too coarse.
    """
    height = round(width * lowness)
    rise = min(width / 2, height)
    radius = (width**2 / 4 + rise**2) / (2 * rise)
    head = Point(width / 2, radius).buffer(radius, 2048)
    above = Polygon([(-1, -1), (width + 1, -1), (width + 1, rise), (-1, rise)])
    below = Polygon([(0, rise), (width, rise), (width, height), (0, height)])
    joined = head.intersection(above).area + below.area
    assert area(Shape("arch", width, height)) == pytest.approx(joined / 100, rel=2e-5)


@given(st.lists(st.tuples(st.integers(0, 9000), st.integers(0, 9000)), min_size=3, max_size=9))
def test_the_area_of_a_straight_sided_panel_is_shapelys(corners):
    hull = LineString(corners).convex_hull
    if hull.geom_type != "Polygon":
        return
    straight = polygon([(round(x), round(y)) for x, y in hull.exterior.coords[:-1]])
    assert area(straight) == pytest.approx(hull.area / 100)
    assert outline(straight).length == pytest.approx(hull.length)


@given(st.data(), st.integers(3, 30_000), st.integers(3, 30_000))
@settings(max_examples=50)
def test_a_frame_is_what_shapely_leaves_of_a_rectangle_cut_out_of_another(data, width, height):
    band = data.draw(st.integers(1, (min(width, height) - 1) // 2))
    cut = box(0, 0, width, height) - box(band, band, width - band, height - band)
    frame = Shape("frame", width, height, band=band)
    assert outline(frame).equals(cut)
    assert area(frame) == pytest.approx(cut.area / 100)
    assert outline(frame).length == pytest.approx(cut.length)


@given(width=st.integers(1000, 30_000), height=st.integers(1000, 30_000))
def test_the_edge_of_an_oval_agrees_with_ramanujans_second_formula(width, height):
    # For axes no further apart than 1 to 30 his error is below 4 in 10 000.
    a, b = width / 2, height / 2
    h = ((a - b) / (a + b)) ** 2
    ramanujan = pi * (a + b) * (1 + 3 * h / (10 + sqrt(4 - 3 * h)))
    assert outline(Shape("oval", width, height)).length == pytest.approx(ramanujan, rel=5e-4)


def test_the_edge_of_a_flat_oval_agrees_with_its_elliptic_integral():
    # Half-axes 1 and 1/2: 4 E(m = 3/4) with E(0.75) = 1.211 056 0276, from memory of the tables of
    # the complete elliptic integral (Abramowitz & Stegun, chapter 17).
    edge = outline(Shape("oval", 20_000, 10_000)).length
    assert edge == pytest.approx(4 * 1.2110560276 * 10_000, rel=1e-4)


@pytest.mark.parametrize(
    ("kind", "edge"),
    [("circle", pi * 20_000), ("oval", pi * 20_000), ("arch", (pi / 2 + 2) * 20_000)],
)
def test_an_outline_strays_from_the_true_edge_by_less_than_a_tenth_of_a_millimetre(kind, edge):
    shape = Shape(kind, 20_000, 20_000)
    assert 0 <= area(shape) - outline(shape).area / 100 <= edge / 100
    assert outline(shape).length == pytest.approx(edge, rel=1e-4)
    assert hypot(*outline(shape).bounds[2:]) == pytest.approx(hypot(20_000, 20_000))
