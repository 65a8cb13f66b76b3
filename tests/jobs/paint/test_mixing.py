from dataclasses import replace
from decimal import Decimal

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from jobs.paint.colour import bands, lab
from jobs.paint.hiding import coats_to_hide
from jobs.paint.kubelka_munk import DARKEST, LIGHTEST
from jobs.paint.mixing import amounts, family, predict, spoken, tinting
from jobs.paint.opacity import scattering
from jobs.paint.pigments import pigment, pigments, shifting
from jobs.paint.values import values

RECIPES = st.dictionaries(
    st.sampled_from(sorted(pigments())), st.integers(1, 40), min_size=1, max_size=5
)
SMALL = st.dictionaries(
    st.sampled_from(sorted(pigments())), st.integers(1, 12), min_size=1, max_size=4
)
GOLD = {"PY43": 3, "PBr7": 1}


def held(share: float) -> float:
    return min(max(share, DARKEST), LIGHTEST)


@given(RECIPES)
def test_a_mix_lies_between_its_parts_in_every_band(parts):
    mixed = predict(parts).reflectance
    for place in range(3):
        own = [held(bands(pigment(ci).masstone)[place]) for ci in parts]
        assert min(own) - 1e-9 <= mixed[place] <= max(own) + 1e-9


@given(RECIPES, st.integers(1, 25))
def test_mixing_more_of_the_same_changes_nothing(parts, times):
    more = predict({ci: amount * times for ci, amount in parts.items()})
    once = predict(parts)
    assert more.swatch == once.swatch
    assert more.reflectance == pytest.approx(once.reflectance, abs=1e-9)
    assert more.uncertainty == pytest.approx(once.uncertainty, abs=1e-6)


@given(RECIPES)
def test_the_order_of_the_parts_changes_nothing(parts):
    assert predict(dict(reversed(parts.items()))) == predict(parts)


@given(RECIPES, st.integers(1, 40))
def test_adding_white_never_darkens_any_band_below_it(parts, white):
    paler = {**parts, "PW6": parts.get("PW6", 0) + white}
    before, after = predict(parts).reflectance, predict(paler).reflectance
    own = bands(pigment("PW6").masstone)
    for was, now, top in zip(before, after, own, strict=True):
        assert now >= min(was, top) - 1e-9


@given(RECIPES)
def test_a_mix_hides_between_its_least_and_its_most_opaque_part(parts):
    whole = predict(parts).scattering
    alone = [predict({ci: 1}).scattering for ci in parts]
    assert min(a.likely for a in alone) - 1e-12 <= whole.likely
    assert whole.likely <= max(a.likely for a in alone) + 1e-12


def test_one_tube_colour_alone_is_its_masstone_and_only_as_unsure_as_that():
    for ci, each in pigments().items():
        alone = predict({ci: 2})
        assert alone.reflectance == pytest.approx([held(b) for b in bands(each.masstone)])
        assert alone.uncertainty == values("mixing.toml")["masstone"].value
    assert tinting(pigment("PY43")) == 1


def test_a_mix_is_less_sure_than_a_tube_colour():
    assert predict({"PB15": 1, "PW6": 10}).uncertainty > predict({"PB15": 1}).uncertainty


def test_a_little_of_a_strong_blue_turns_white_blue_and_as_little_ochre_hardly_shows():
    blue = predict({"PB15": 1, "PW6": 10}).reflectance
    buff = predict({"PY43": 1, "PW6": 10}).reflectance
    assert blue[0] < 0.3 < 0.4 < blue[2]
    assert buff[0] > 0.7


def test_blue_and_yellow_make_green():
    long, middle, short = predict({"PB29": 1, "PY35": 1}).reflectance
    assert middle > long
    assert middle > short


def test_the_worst_part_governs_what_is_said_of_the_mix():
    found = predict({"PR83": 1, "PW6": 5, "PY35": 2, "PB28": 1})
    assert found.lightfast == "III"
    assert found.fades == ("PR83",)
    assert "PR83" not in found.lightfast_unknown


def test_a_mix_of_no_stated_lightfastness_says_so_rather_than_good():
    unknown = [ci for ci, each in pigments().items() if not each.lightfast]
    found = predict(dict.fromkeys(unknown[:2], 1))
    assert found.lightfast == ""
    assert found.fades == ()
    assert found.lightfast_unknown == tuple(sorted(unknown[:2]))


def test_a_mix_hides_by_its_own_scattering():
    gold = predict({"PY43": 3, "PBr7": 1, "PW6": 1})
    found = coats_to_hide("#4a2c17", gold.swatch, gold.scattering, 45)
    assert found.needed in (1, 2)


@given(RECIPES, st.decimals(0, 5000, places=2), st.integers(5, 500))
def test_the_tubes_hold_every_share_and_the_shares_add_up(parts, total, tube):
    shares = amounts(parts, total, tube_ml=tube)
    assert [share.key for share in shares] == list(parts)
    assert sum(share.ml for share in shares) == total
    assert all(share.tubes * tube >= share.ml >= 0 for share in shares)


def test_a_recipe_is_bought_by_the_tube_of_each_colour():
    ochre, umber = amounts(GOLD, Decimal(100), tube_ml={"PY43": 40, "PBr7": 20})
    assert (ochre.name, ochre.ml, ochre.tubes) == ("yellow ochre", Decimal("75.00"), 2)
    assert (umber.key, umber.ml, umber.tubes) == ("PBr7", Decimal("25.00"), 2)


def test_a_golden_brown_has_siblings_a_step_to_either_side_in_whole_parts():
    kin = family(GOLD)
    step = values("mixing.toml")["sibling-step"].value
    own = lab(kin.itself.reflectance)[0]
    for sibling, towards in ((kin.lighter, step), (kin.darker, -step)):
        assert sibling is not None
        found = lab(sibling.prediction.reflectance)[0]
        assert found - own == pytest.approx(towards, abs=2)
        assert all(isinstance(amount, int) for amount in sibling.parts.values())
    assert kin.lighter.parts["PY43"] == 3 * kin.lighter.parts["PBr7"]
    assert (kin.lighter.added, kin.darker.added) == ("PW6", "PBr7 burnt umber")


def test_a_studios_own_opacity_class_is_the_one_counted_with():
    own = predict({"PW4": 1}, {"PW4": "opaque"}).scattering
    assert own == scattering("opaque")
    assert predict({"PW4": 1}).scattering.high < own.high


def test_the_colours_that_make_a_mix_lighter_or_darker_stand_in_the_table(monkeypatch):
    assert shifting("lighter") == ("PW6",)
    assert set(shifting("darker")) == {"PBk9", "PBr7 raw umber", "PBr7 burnt umber"}
    table = dict(pigments()) | {"PW4": replace(pigments()["PW4"], shifts="lighter")}
    table["PW6"] = replace(table["PW6"], shifts="")
    monkeypatch.setattr("jobs.paint.pigments.pigments", lambda: table)
    assert family({"PB29": 1, "PY43": 1}).lighter.added == "PW4"


def test_a_blue_is_darkened_with_black_since_umber_would_turn_it():
    assert family({"PB29": 1, "PW6": 2}).darker.added == "PBk9"


def test_white_has_no_lighter_sibling_and_black_no_darker():
    assert family({"PW6": 1}).lighter is None
    assert family({"PBk7": 1}).darker is None


@settings(max_examples=20, deadline=None)
@given(RECIPES)
def test_siblings_lie_on_their_own_sides(parts):
    kin = family(parts)
    own = lab(kin.itself.reflectance)[0]
    if kin.lighter:
        assert lab(kin.lighter.prediction.reflectance)[0] > own
    if kin.darker:
        assert lab(kin.darker.prediction.reflectance)[0] < own


@settings(max_examples=20, deadline=None)
@given(
    st.dictionaries(st.sampled_from(sorted(pigments())), st.integers(1, 12), min_size=1, max_size=4)
)
def test_siblings_are_recipes_that_can_be_counted_out_but_for_a_touch(parts):
    kin = family(parts)
    own = lab(kin.itself.reflectance)[0]
    for sibling in filter(None, (kin.lighter, kin.darker)):
        said = spoken(sibling.parts)
        assert sum(said.values()) <= 30 or sum(parts.values()) > 30
        touches = [key for key, amount in said.items() if not amount]
        assert all(sibling.parts[key] * 30 < sum(sibling.parts.values()) for key in touches)
        step = abs(lab(sibling.prediction.reflectance)[0] - own)
        assert step == pytest.approx(values("mixing.toml")["sibling-step"].value, abs=4.5)


def test_a_white_is_darkened_with_a_touch_of_black_and_not_with_eight_hundred_parts():
    darker = family({"PW1": 4, "PW4": 1}).darker
    said = spoken(darker.parts)
    assert said == {"PW1": 4, "PW4": 1, darker.added: 0}
    assert darker.parts[darker.added] == 1


def test_parts_that_are_no_touch_are_said_in_their_lowest_terms():
    assert spoken({"PW6": 12, "PY43": 4}) == {"PW6": 3, "PY43": 1}
    assert spoken({"PW6": 160, "PW4": 40, "PBk9": 1}) == {"PW6": 4, "PW4": 1, "PBk9": 0}


def test_what_is_no_recipe_is_refused_in_words():
    with pytest.raises(ValueError, match="'PX1' is not in the table"):
        predict({"PX1": 1})
    for nothing in ({}, {"PW6": 0}):
        with pytest.raises(ValueError, match="at least one part of something"):
            predict(nothing)
    for wrong in (-1, float("nan"), float("inf")):
        with pytest.raises(ValueError, match="cannot be less than nothing"):
            predict({"PW6": 1, "PY43": wrong})
    with pytest.raises(ValueError, match="less than nothing"):
        amounts(GOLD, Decimal(-1), tube_ml=40)
    with pytest.raises(ValueError, match="must hold something"):
        amounts(GOLD, Decimal(10), tube_ml={"PY43": 40})


def test_a_part_of_nothing_is_left_out_of_all_that_is_said():
    assert predict({**GOLD, "PR108": 0}) == predict(GOLD)


def test_a_sibling_is_not_drowned_in_another_colour_where_less_of_one_will_do():
    red = {"PR101 Venetian red": 12, "PBk11": 1}
    darker = family(red).darker
    assert darker.added == "PBk11"
    assert darker.parts["PBk11"] < darker.parts["PR101 Venetian red"]
