"""Places of panels on a surface and of surfaces on a face."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from jobs.layout.placing import Placed, next_free_place, next_surface_place, outside, overlaps
from jobs.layout.shapes import Shape

WIDTH, HEIGHT = 6000, 4000
kinds = st.sampled_from(["rectangle", "circle", "oval", "arch"])


@st.composite
def inside(draw, name="Panel"):
    shape = Shape(draw(kinds), draw(st.integers(50, 3000)), draw(st.integers(50, 3000)))
    left = draw(st.integers(0, WIDTH - shape.width))
    top = draw(st.integers(0, HEIGHT - shape.height))
    return Placed(name, shape, left, top)


def rectangle(name, left, top, width=1000, height=1000):
    return Placed(name, Shape("rectangle", width, height), left, top)


@given(inside())
def test_a_panel_moved_about_inside_its_surface_stays_inside(panel):
    assert outside(panel, WIDTH, HEIGHT) is None


@given(inside(), st.integers(1, 9000), st.sampled_from(["left", "right", "top", "bottom"]))
def test_a_panel_pushed_over_an_edge_is_told_which_one(panel, far, edge):
    left = {"left": -far, "right": WIDTH - panel.shape.width + far}.get(edge, panel.left)
    top = {"top": -far, "bottom": HEIGHT - panel.shape.height + far}.get(edge, panel.top)
    sentence = outside(Placed("Rose", panel.shape, left, top), WIDTH, HEIGHT)
    assert sentence == f"Rose runs past the {edge} edge of its surface."


def test_a_panel_larger_than_its_surface_is_told_by_how_much():
    wide = rectangle("Frieze", 0, 0, width=6120)
    assert outside(wide, WIDTH, HEIGHT, lambda tenths: f"{tenths / 100:g} cm") == (
        "Frieze is wider than its surface by 1.2 cm."
    )
    assert outside(rectangle("Frieze", 0, 0, height=4001), WIDTH, HEIGHT) == (
        "Frieze is higher than its surface."
    )


def test_a_panel_as_large_as_its_surface_fits():
    assert outside(rectangle("Whole door", 0, 0, WIDTH, HEIGHT), WIDTH, HEIGHT) is None


@given(inside("One"), inside("Other"))
def test_if_one_panel_overlaps_another_the_other_overlaps_the_one(one, other):
    assert bool(overlaps(one, [other])) == bool(overlaps(other, [one]))


@given(inside("One"), inside("Other"), st.integers(-3000, 3000), st.integers(-3000, 3000))
def test_moving_two_panels_together_changes_nothing_between_them(one, other, across, down):
    shifted = [Placed(p.name, p.shape, p.left + across, p.top + down) for p in (one, other)]
    assert overlaps(one, [other]) == overlaps(shifted[0], [shifted[1]])


def test_panels_that_share_an_edge_do_not_overlap():
    others = [rectangle("Right", 1000, 0), rectangle("Below", 0, 1000)]
    assert overlaps(rectangle("Left", 0, 0), others) == ()


def test_panels_that_share_a_tenth_of_a_millimetre_overlap():
    assert overlaps(rectangle("Left", 0, 0), [rectangle("Right", 999, 0)]) == ("Right",)


def test_round_panels_may_stand_in_each_others_empty_corners():
    # Boxes of 10 cm that overlap by 1 cm both ways: centres 12.73 cm apart, radii 5 cm each.
    one = Placed("One", Shape("circle", 1000, 1000), 0, 0)
    assert overlaps(one, [Placed("Other", Shape("circle", 1000, 1000), 900, 900)]) == ()
    assert overlaps(one, [Placed("Near", Shape("circle", 1000, 1000), 600, 600)]) == ("Near",)


def test_a_panel_that_cannot_be_painted_overlaps_nothing():
    nothing = Placed("Nothing", Shape("arch", 0, 500), 100, 100)
    assert overlaps(nothing, [rectangle("Left", 0, 0)]) == ()
    assert overlaps(rectangle("Left", 0, 0), [nothing]) == ()


def test_the_first_panel_stands_in_the_middle():
    assert next_free_place(Shape("rectangle", 2000, 1000), [], WIDTH, HEIGHT) == (2000, 1500)


def test_the_second_panel_stands_clear_of_the_first_in_the_middle_of_the_free_room():
    left = [rectangle("Left", 500, 1000, 2000, 2000)]
    assert next_free_place(Shape("circle", 2000, 2000), left, WIDTH, HEIGHT) == (3250, 1000)


@given(st.lists(inside(), max_size=5), st.integers(50, 2500), st.integers(50, 2500))
def test_a_proposed_place_is_inside_and_free(placed, width, height):
    shape = Shape("rectangle", width, height)
    place = next_free_place(shape, placed, WIDTH, HEIGHT)
    if place is not None and placed:
        proposed = Placed("New", shape, *place)
        assert outside(proposed, WIDTH, HEIGHT) is None
        assert overlaps(proposed, placed) == ()


BORDER = Placed("Border", Shape("frame", WIDTH, HEIGHT, band=500), 0, 0)


def test_a_picture_may_lie_inside_a_border_but_not_on_its_band():
    assert overlaps(rectangle("Picture", 500, 500, 5000, 3000), [BORDER]) == ()
    assert overlaps(BORDER, [rectangle("Picture", 500, 500, 5000, 3000)]) == ()
    assert overlaps(rectangle("Picture", 499, 500), [BORDER]) == ("Border",)
    assert overlaps(rectangle("Picture", 2000, 2501), [BORDER]) == ("Border",)


def test_a_new_picture_is_proposed_in_the_middle_of_the_border():
    place = next_free_place(Shape("rectangle", 2000, 1000), [BORDER], WIDTH, HEIGHT)
    assert place == (2000, 1500)


def test_a_picture_too_large_for_the_inside_of_the_border_has_no_place():
    assert next_free_place(Shape("rectangle", 5001, 100), [BORDER], WIDTH, HEIGHT) is None


def test_a_new_border_is_proposed_evenly_round_the_picture_that_is_there():
    picture = rectangle("Picture", 1000, 1500, 2000, 1000)
    frame = Shape("frame", 2600, 1600, band=200)
    assert next_free_place(frame, [picture], WIDTH, HEIGHT) == (700, 1200)


def test_a_new_border_passes_over_a_picture_it_cannot_go_round():
    large, small = rectangle("Large", 0, 0, 3000, 3000), rectangle("Small", 4000, 1000)
    frame = Shape("frame", 1600, 1600, band=200)
    assert next_free_place(frame, [large, small], WIDTH, HEIGHT) == (3700, 700)


@given(inside("Picture"), st.integers(300, WIDTH), st.integers(300, HEIGHT), st.integers(1, 149))
def test_a_proposed_border_lies_on_no_picture(picture, width, height, band):
    frame = Shape("frame", width, height, band=band)
    place = next_free_place(frame, [picture], WIDTH, HEIGHT)
    if place is not None:
        assert outside(Placed("Border", frame, *place), WIDTH, HEIGHT) is None
        assert overlaps(Placed("Border", frame, *place), [picture]) == ()


@pytest.mark.parametrize("size", [(7000, 100), (100, 5000), (6000, 4000)])
def test_where_nothing_fits_no_place_is_proposed(size):
    taken = [rectangle("Middle", 2500, 1500)]
    assert next_free_place(Shape("rectangle", *size), taken, WIDTH, HEIGHT) is None


def test_a_new_surface_stands_to_the_right_on_the_same_floor():
    assert next_surface_place([], 500, 700) == (0, 0)
    assert next_surface_place([(0, 0, 4000, 15_000)], 4000, 12_000) == (4000, 3000)


def test_a_taller_surface_hangs_from_the_top_so_that_no_place_is_negative():
    assert next_surface_place([(0, 0, 4000, 5000)], 4000, 12_000) == (4000, 0)
