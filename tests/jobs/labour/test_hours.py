import re
from decimal import Decimal
from math import ceil

import pytest
from hypothesis import given
from hypothesis import strategies as st

from jobs.labour.hours import Size, coat_minutes, stage_minutes
from jobs.labour.methods import method_sheets
from jobs.labour.stages import StageKind, stage_kind, stage_kinds

KINDS = st.sampled_from(sorted(stage_kinds())).map(stage_kind)
AREAS = st.floats(1, 5_000_000)
INTRICACIES = st.integers(1, 5)
COATS = st.integers(1, 6)


@given(KINDS, AREAS, AREAS, INTRICACIES, INTRICACIES, COATS, COATS)
def test_hours_never_fall_when_area_coats_or_intricacy_rise(
    kind: StageKind,
    area: float,
    more: float,
    intricacy: int,
    finer: int,
    coats: int,
    further: int,
) -> None:
    less = stage_minutes(kind, Size(area, intricacy), coats=coats)
    size = Size(area + more, max(intricacy, finer))
    larger = stage_minutes(kind, size, coats=max(coats, further))
    assert larger.minutes >= less.minutes
    assert larger.set_up >= less.set_up
    assert larger.sittings >= less.sittings


@given(KINDS, AREAS, INTRICACIES, COATS)
def test_coats_sum_to_the_stage_and_fit_their_sittings(
    kind: StageKind, area: float, intricacy: int, coats: int
) -> None:
    hours = stage_minutes(kind, Size(area, intricacy), coats=coats)
    assert hours.sittings % coats == 0
    assert hours.sittings >= coats == len(hours.per_coat)
    assert hours.per_coat[0] <= kind.longest * hours.sittings // coats
    hands_on = coat_minutes(kind, Size(area, intricacy))
    assert hours.minutes == coats * hands_on + hours.set_up


@given(KINDS, AREAS, INTRICACIES, COATS)
def test_the_words_reckon_to_the_minutes(
    kind: StageKind, area: float, intricacy: int, coats: int
) -> None:
    hours = stage_minutes(kind, Size(area, intricacy), coats=coats)
    assert reckoned(hours.words) == hours.minutes


def reckoned(words: str) -> int:
    """The minutes that a reader with a pencil would get from the words alone."""
    sum_of_coat = re.split(r",| [=≈] ", words)[0]
    coat = Decimal(0)
    for term in sum_of_coat.split(" + "):
        factors = [Decimal(each) for each in re.findall(r"[\d.]+", term)]
        product = Decimal(1)
        for factor in factors:
            product *= factor
        coat += product
    several = re.search(r"(\d+) coats", words)
    set_up = re.search(r"\+ (\d+) × (\d+) min set-up", words)
    minutes = ceil(coat) * (int(several[1]) if several else 1)
    return minutes + (int(set_up[1]) * int(set_up[2]) if set_up else 0)


def test_the_words_show_the_arithmetic() -> None:
    details = stage_minutes(stage_kind("details"), Size(62_500, 4), coats=2)
    # 6.25 × 16 × (4/3)^1.3 = 145.0, + 10 = 155; 160 min may be worked in a sitting of 180.
    assert details.words == (
        "6.25 dm² × 16 min × intricacy 1.45 + 10 min = 155 min a coat, 2 coats, + 2 × 20 min set-up"
    )
    assert details.minutes == 350


def test_a_coat_longer_than_the_longest_sitting_takes_more_sittings_with_set_up() -> None:
    # 20 dm² × 16 min + 10 min = 330 min; 160 fit beside the set-up of a sitting: three sittings.
    hours = stage_minutes(stage_kind("details"), Size(200_000, 3))
    assert (hours.sittings, hours.set_up, hours.minutes) == (3, 60, 390)


def method_hours(key: str, size: Size) -> float:
    stages = method_sheets()[key].stages
    return sum(stage_minutes(each.kind, size, coats=each.coats).minutes for each in stages) / 60


def test_a_small_interlace_panel_takes_a_plausible_two_days() -> None:
    # Common practice, no source: 25 x 25 cm, intricacy 3, all stages, 12 to 18 hours.
    assert 12 <= method_hours("interlace-oil", Size(62_500, 3)) <= 18


def test_a_plain_ground_panel_takes_a_plausible_half_day() -> None:
    # Common practice, no source: 60 x 40 cm, 3 to 4 hours.
    assert 3 <= method_hours("plain-ground", Size(240_000, 3)) <= 4


def test_plain_coats_take_no_longer_on_an_intricate_panel() -> None:
    prime = stage_kind("prime")
    assert coat_minutes(prime, Size(62_500, 1)) == coat_minutes(prime, Size(62_500, 5))


@pytest.mark.parametrize(
    ("area", "intricacy"), [(0, 3), (-1, 3), (1e9, 3), (float("nan"), 3), (100, 0), (100, 6)]
)
def test_a_panel_that_cannot_be_is_refused(area: float, intricacy: int) -> None:
    with pytest.raises(ValueError, match=r"area|Intricacy"):
        Size(area, intricacy)


def test_a_stage_of_no_coats_is_refused() -> None:
    with pytest.raises(ValueError, match="one coat at least"):
        stage_minutes(stage_kind("prime"), Size(100), coats=0)
