import re

import pytest
from hypothesis import given
from hypothesis import strategies as st

from jobs.paint.pigments import OPACITIES, pigment, pigments, quickest_class, slowest_class

MIXES = st.lists(st.sampled_from([*sorted(pigments()), "PX1"]), max_size=4)


def test_the_table_holds_a_painters_range_of_pigments() -> None:
    assert len(pigments()) >= 60
    hues = {re.match(r"[A-Z][A-Za-z]*", ci)[0] for ci in pigments()}
    assert hues == {"PW", "PBk", "PBr", "PY", "PO", "PR", "PV", "PB", "PG"}


def test_a_name_that_covers_two_grades_gives_both_opacities() -> None:
    assert set(pigment("PR101").opacities) == {"opaque", "transparent"}
    assert pigment("PW6").opacities == ("opaque",)


@pytest.mark.parametrize(("ci", "also"), [("PW6", ("medium", "fast")), ("PW4", ("medium",))])
def test_whites_on_whose_drying_the_sources_disagree_keep_every_answer(
    ci: str, also: tuple[str, ...]
) -> None:
    assert (pigment(ci).drying, pigment(ci).drying_also) == ("slow", also)


def test_no_second_answer_repeats_the_first() -> None:
    for each in pigments().values():
        assert len(set(each.opacities)) == len(each.opacities) <= len(OPACITIES)
        assert each.drying not in each.drying_also


def test_what_the_sources_disagree_on_is_told_in_the_note() -> None:
    assert [ci for ci, each in pigments().items() if each.drying_also and not each.note] == []


def test_the_strong_pigments_are_stronger_than_ochre_and_the_weak_ones_weaker() -> None:
    strong, weak = ("PB15", "PG7", "PB27", "PV23"), ("PG23", "PV14", "PV15")
    assert pigment("PY43").strength == 1
    assert (
        min(pigment(ci).strength for ci in strong)
        > 3
        > 1
        > max(pigment(ci).strength for ci in weak)
    )


@given(MIXES)
def test_the_quickest_a_mix_may_dry_is_never_slower_than_the_slowest(mix: list[str]) -> None:
    assert quickest_class(mix).surface <= slowest_class(mix).surface


def test_umber_may_be_quick_though_the_slower_answer_is_counted_on() -> None:
    assert quickest_class(["PBr7"]).key == "fast"
    assert slowest_class(["PBr7"]).key == "medium"
    assert quickest_class(["PBr7", "PR83"]).key == "slow"
    assert quickest_class([]).key == "medium"
    assert quickest_class(["PX1"]).key == "slow"


def test_earths_of_one_name_are_told_apart_by_their_variety() -> None:
    earths = {key: each for key, each in pigments().items() if each.ci == "PBr7"}
    assert set(earths) == {
        "PBr7", "PBr7 raw umber", "PBr7 burnt umber", "PBr7 raw sienna", "PBr7 burnt sienna",
    }  # fmt: skip
    assert len({each.masstone for each in earths.values()}) == len(earths)


def test_umbers_and_raw_sienna_are_quick_and_burnt_sienna_is_not() -> None:
    # Winsor & Newton, Understanding drying times for oil colour.
    classes = {key: each.drying for key, each in pigments().items() if each.variety}
    assert classes["PBr7 raw umber"] == classes["PBr7 burnt umber"] == "fast"
    assert (classes["PBr7 raw sienna"], classes["PBr7 burnt sienna"]) == ("fast", "medium")


def test_a_red_oxide_of_which_more_is_known_has_one_opacity() -> None:
    assert pigment("PR101 Venetian red").opacities == ("opaque",)
    assert pigment("PR101 transparent red oxide").opacities == ("transparent",)


def test_every_key_finds_room_in_a_recipe() -> None:
    assert all(len(key) <= 40 and each.key == key for key, each in pigments().items())
