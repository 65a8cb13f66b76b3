import math

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from jobs.paint.binders import binders
from jobs.paint.colour import bands, difference
from jobs.paint.hiding import (
    Candidate,
    Criterion,
    coats_to_hide,
    contrast_ratio,
    film_colour,
    late_decision,
)
from jobs.paint.kubelka_munk import (
    DARKEST,
    LIGHTEST,
    film,
    full_reflectance,
    over,
)
from jobs.paint.opacity import (
    Scattering,
    blend,
    coat_microns,
    dry_film_microns,
    opacity_classes,
    scattering,
    solids,
    unnamed_ground,
)
from jobs.paint.pigments import OPACITIES
from jobs.paint.values import values

COLOURS = st.integers(0, 0xFFFFFF).map(lambda number: f"#{number:06x}")
CLASSES = st.sampled_from(OPACITIES)
MICRONS = st.floats(5, 300)
SHARES = st.floats(0, 1)
FULL = st.floats(0.002, 0.98)
DEPTHS = st.floats(0, 30)

GROUND = Candidate("white ground", "#f4f4ee", "opaque", 50)
BROWN = "#4a2c17"
NEVER = 99


def count(coats: int | None) -> int:
    return NEVER if coats is None else coats


@given(SHARES, FULL, DEPTHS, DEPTHS)
def test_a_thicker_film_never_lets_more_of_its_ground_through(ground, full, depth, more):
    thin = over(ground, full=full, scattering=depth)
    thick = over(ground, full=full, scattering=depth + more)
    assert abs(thick - full) <= abs(thin - full) + 1e-9


@given(SHARES, st.floats(0, 20), DEPTHS)
def test_a_film_sends_back_between_none_and_all_of_the_light(ground, absorbing, depth):
    assert 0 <= film(ground, absorbing=absorbing, scattering=depth) <= 1 + 1e-12


@given(COLOURS, DEPTHS)
def test_contrast_lies_between_nothing_and_full_hiding(coat, depth):
    assert 0 <= contrast_ratio(bands(coat), scattered=depth + 1e-3) <= 1 + 1e-12


@settings(max_examples=40, deadline=None)
@given(COLOURS, COLOURS, CLASSES, MICRONS)
def test_the_coats_needed_hide_and_no_later_coat_brings_the_ground_back(
    ground, coat, opacity, microns
):
    found = coats_to_hide(ground, coat, opacity, microns)
    most = int(values("hiding.toml")["most-coats"].value)
    limit = Criterion().difference

    def left_over(coats):
        paint = tuple(min(max(each, DARKEST), LIGHTEST) for each in bands(coat))
        scattered = scattering(opacity).likely * microns * coats
        return difference(film_colour(bands(ground), paint, scattered=scattered), paint)

    if found.needed is None:
        assert max(map(left_over, range(most, 10 * most))) > limit - 1e-6
        return
    for coats in range(found.needed, found.needed + most):
        assert left_over(coats) <= limit + 1e-6


@settings(max_examples=40, deadline=None)
@given(COLOURS, COLOURS, CLASSES, MICRONS, st.floats(1, 5))
def test_a_thicker_coat_never_needs_more_coats(ground, coat, opacity, microns, by):
    thin = coats_to_hide(ground, coat, opacity, microns)
    thick = coats_to_hide(ground, coat, opacity, microns * by)
    assert count(thick.by_contrast) <= count(thin.by_contrast)
    assert count(thick.by_difference) <= count(thin.by_difference)
    assert count(thick.needed) <= count(thin.needed)


@settings(max_examples=40, deadline=None)
@given(COLOURS, COLOURS, CLASSES, MICRONS)
def test_best_and_worst_of_a_class_lie_on_either_side(ground, coat, opacity, microns):
    found = coats_to_hide(ground, coat, opacity, microns)
    assert count(found.at_best) <= count(found.needed) <= count(found.at_worst)
    both = coats_to_hide(ground, coat, opacity, microns, criterion=Criterion("both"))
    assert count(both.needed) == max(count(found.by_contrast), count(found.by_difference))


@settings(max_examples=25, deadline=None)
@given(COLOURS, COLOURS, MICRONS)
def test_a_more_opaque_paint_never_needs_more_coats(ground, coat, microns):
    coats = [count(coats_to_hide(ground, coat, each, microns).needed) for each in OPACITIES]
    assert coats == sorted(coats)


@settings(max_examples=40, deadline=None)
@given(COLOURS)
def test_a_paint_over_its_own_colour_is_hidden_by_one_coat(colour):
    # Pure black and white are beyond paint and are held to what paint can do.
    held = coats_to_hide(colour, colour, "semi-opaque", 45)
    assert held.needed == 1


def test_white_over_brown_takes_two_coats_when_opaque_and_never_hides_when_transparent():
    assert coats_to_hide(BROWN, "#f4f4ee", "opaque", 45).needed == 2
    clear = coats_to_hide(BROWN, "#f4f4ee", "transparent", 45)
    assert clear.needed is None


def test_black_hides_in_one_coat_whatever_lies_below():
    found = coats_to_hide("#f4f4ee", "#1e1e20", "semi-opaque", 45)
    assert (found.by_contrast, found.by_difference, found.needed) == (1, 1, 1)


def test_the_make_of_the_paint_leaves_a_range():
    found = coats_to_hide(BROWN, "#f4f4ee", "semi-opaque", 45)
    assert (found.at_best, found.needed, found.at_worst) == (3, 3, 5)


def test_cream_over_brown_takes_more_than_over_the_white_it_was_meant_for():
    cream = Candidate("cream", "#efe3c0", "semi-opaque", 43)
    (late,) = late_decision([cream], ground=GROUND, lies_now=BROWN)
    assert count(late.straight.needed) > count(late.in_time.needed)
    assert late.extra == min(
        count(late.straight.needed) - count(late.in_time.needed), count(late.ground_again.needed)
    )


def test_a_glaze_chosen_late_asks_for_its_ground_again():
    gold = Candidate("gold glaze", "#d9a520", "transparent", 10)
    (late,) = late_decision([gold], ground=GROUND, lies_now=BROWN)
    assert late.straight.needed is None
    assert late.ground_first
    assert late.extra == late.ground_again.needed


def test_a_colour_chosen_late_over_what_helps_it_saves_no_coat():
    brown = Candidate("brown", BROWN, "semi-transparent", 43)
    (late,) = late_decision([brown], ground=GROUND, lies_now=BROWN)
    assert (late.extra, late.ground_first) == (0, False)
    assert late.coats == late.straight.needed == 1


def test_coats_the_method_lays_anyway_are_not_counted_as_lateness():
    cream = Candidate("cream", "#e6d8b4", "semi-transparent", 43)
    prepared = Candidate("cream ground", "#e6d8b4", "opaque", 43)
    extras = []
    for left in range(5):
        (late,) = late_decision([cream], ground=prepared, lies_now=BROWN, left=left)
        extras.append(late.extra)
    assert extras == sorted(extras, reverse=True)
    # With none left, at least the new colour itself is laid once.
    assert extras[0] == min(late.straight.needed, late.ground_again.needed + 1)
    assert extras[1] == min(late.straight.needed - 1, late.ground_again.needed)


@settings(max_examples=30, deadline=None)
@given(COLOURS, COLOURS, CLASSES, MICRONS, st.integers(0, 4))
def test_the_coats_late_lie_within_what_the_make_of_the_paint_leaves(
    lies, colour, opacity, microns, left
):
    wanted = Candidate("wanted", colour, opacity, microns)
    prepared = Candidate("prepared", colour, "opaque", microns)
    (late,) = late_decision([wanted], ground=prepared, lies_now=lies, left=left)
    fewest, most = late.spread
    assert 0 <= count(fewest) <= count(late.extra) <= count(most)
    more = count(late_decision([wanted], ground=prepared, lies_now=lies, left=left + 1)[0].extra)
    assert more <= count(late.extra)


@settings(max_examples=25, deadline=None)
@given(COLOURS, CLASSES, MICRONS, st.integers(0, 4))
def test_a_colour_that_lies_there_already_takes_no_coat_more(colour, opacity, microns, left):
    wanted = Candidate("wanted", colour, opacity, microns)
    (late,) = late_decision([wanted], ground=GROUND, lies_now=colour, left=left)
    assert (late.extra, late.spread, late.ground_first) == (0, (0, 0), False)


@settings(max_examples=20, deadline=None)
@given(COLOURS, COLOURS, MICRONS)
def test_a_more_opaque_paint_is_never_later(lies, colour, microns):
    prepared = Candidate("prepared", colour, "opaque", microns)
    wanted = [Candidate("wanted", colour, each, microns) for each in OPACITIES]
    found = late_decision(wanted, ground=prepared, lies_now=lies, left=0)
    extras = [count(each.extra) for each in found]
    assert extras == sorted(extras)


def test_less_than_no_coat_cannot_be_left():
    with pytest.raises(ValueError, match="less than no coat"):
        late_decision([], ground=GROUND, lies_now=BROWN, left=-1)


def test_a_thicker_coat_leaves_more_and_one_of_nothing_is_refused():
    usual = coat_microns("acrylic")
    assert coat_microns("acrylic", wet_um=1000 / float(binders()["acrylic"].rate)) == usual
    assert coat_microns("acrylic", wet_um=300) > usual
    for wet in (0, -3, math.inf, math.nan):
        with pytest.raises(ValueError, match="thicker than nothing"):
            coat_microns("acrylic", wet_um=wet)


def test_a_ground_without_a_recipe_counts_as_semi_opaque_and_the_data_say_so():
    assert unnamed_ground().key == "semi-opaque"
    assert "common practice" in unnamed_ground().source
    assert [each.key for each in opacity_classes().values() if each.taken_for] == ["semi-opaque"]


def test_where_no_way_hides_no_number_is_made_up():
    clear = Candidate("clear white", "#ffffff", "transparent", 5)
    ground = Candidate("clear ground", "#ffffff", "transparent", 5)
    (late,) = late_decision([clear], ground=ground, lies_now="#000000")
    assert (late.extra, late.coats) == (None, None)


def test_each_candidate_is_judged_by_itself():
    cream = Candidate("cream", "#efe3c0", "semi-opaque", 43)
    black = Candidate("black", "#1e1e20", "opaque", 43)
    together = late_decision([cream, black], ground=GROUND, lies_now=BROWN)
    apart = [late_decision([each], ground=GROUND, lies_now=BROWN)[0] for each in (cream, black)]
    assert list(together) == apart


@pytest.mark.parametrize("microns", [0, -1, float("nan"), float("inf")])
def test_a_coat_thinner_than_nothing_is_refused(microns):
    with pytest.raises(ValueError, match="thicker than nothing"):
        coats_to_hide("#000000", "#ffffff", "opaque", microns)


def test_what_means_nothing_is_refused_in_words():
    with pytest.raises(ValueError, match="no opacity class 'milky'"):
        coats_to_hide("#000000", "#ffffff", "milky", 45)
    with pytest.raises(ValueError, match="needs an opacity class"):
        scattering(())
    with pytest.raises(ValueError, match="not judged hidden by 'luck'"):
        Criterion("luck")
    with pytest.raises(ValueError, match="between 0 and 1"):
        Criterion(contrast=1.0)
    with pytest.raises(ValueError, match="above 0"):
        Criterion(difference=0.0)
    with pytest.raises(ValueError, match="more than nothing"):
        Scattering(0.0, 0.0, 0.1)
    with pytest.raises(ValueError, match="at least one part"):
        blend([])
    with pytest.raises(ValueError, match="thinner than nothing"):
        film(0.5, absorbing=-0.1, scattering=1)
    with pytest.raises(ValueError, match="less than nothing"):
        full_reflectance(-0.1)


def test_a_pigment_sold_in_several_classes_spans_them_all():
    table = opacity_classes()
    spread = scattering(("opaque", "transparent"))
    assert spread.low == table["transparent"].scattering.low
    assert spread.high == table["opaque"].scattering.high
    assert spread.low < spread.likely < spread.high
    assert scattering("opaque") == table["opaque"].scattering


def test_every_opacity_class_of_the_pigments_has_its_scattering_in_order():
    assert tuple(opacity_classes()) == OPACITIES
    found = [each.scattering.likely for each in opacity_classes().values()]
    assert found == sorted(found, reverse=True)


def test_every_film_has_its_dry_thickness_and_no_dry_film_is_thicker_than_the_wet():
    for each in binders().values():
        if each.leaves_film:
            assert 0 < coat_microns(each.key) <= 1000 / float(each.rate)
        else:
            with pytest.raises(ValueError, match="No film of"):
                coat_microns(each.key)
    assert all(row.low <= row.percent <= row.high for row in solids().values())
    with pytest.raises(ValueError, match="between nothing and all"):
        dry_film_microns(10, percent=0)
