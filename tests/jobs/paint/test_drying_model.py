"""What film, mix, medium, air and a studio's own factor do to a wait."""

import math
from dataclasses import replace
from datetime import timedelta

import pytest
from hypothesis import given
from hypothesis import strategies as st

from jobs.paint.binders import binder, binders
from jobs.paint.drying import (
    UNTAUGHT,
    Climate,
    Drying,
    Factor,
    drying,
    governing_class,
    learning_key,
    spread_of,
)
from jobs.paint.drying_tables import (
    AIRINGS,
    MOVED,
    STILL,
    airings,
    covered,
    drying_values,
    media,
    medium,
    thicknesses,
)
from jobs.paint.gates import GATES
from jobs.paint.pigments import drying_classes, pigments

ROOM = Climate(20, 50)
CLIMATES = st.builds(Climate, st.floats(-20, 60), st.floats(0, 100))
BINDERS = st.sampled_from(sorted(binders()))
FILMS = st.sampled_from([key for key, each in binders().items() if each.leaves_film])
SOME_GATES = st.sampled_from(sorted(GATES))
MICRONS = st.floats(1, 5000)
MIXES = st.dictionaries(
    st.sampled_from([*sorted(pigments()), "PX1"]), st.integers(1, 40), min_size=1, max_size=4
)
FACTORS = st.builds(Factor, st.floats(0.05, 20), st.none() | st.floats(0, 0.5))
OIL_MEDIA = [key for key, each in media().items() if "oil" in each.families]


@given(BINDERS, SOME_GATES, CLIMATES, MICRONS, MICRONS, st.floats(0.01, 0.99))
def test_a_thicker_coat_never_dries_sooner(
    key: str, gate: str, climate: Climate, one: float, other: float, likelihood: float
) -> None:
    thin, thick = sorted((one, other))
    before = drying(key, gate, climate, thickness_um=thin).at(likelihood)
    assert drying(key, gate, climate, thickness_um=thick).at(likelihood) >= before


@given(SOME_GATES, CLIMATES, MIXES, st.sampled_from(OIL_MEDIA), st.floats(0, 20))
def test_a_colder_room_never_shortens_the_wait_of_a_mix_with_a_medium(
    gate: str, climate: Climate, mix: dict[str, int], key: str, fall: float
) -> None:
    colder = replace(climate, temperature_c=max(-20, climate.temperature_c - fall))
    warm = drying("oil", gate, climate, parts=mix, medium=key)
    assert drying("oil", gate, colder, parts=mix, medium=key).median >= warm.median


@given(SOME_GATES, MIXES, st.sampled_from([*sorted(pigments()), "PX1"]), st.integers(1, 40))
def test_parts_of_a_slower_pigment_never_make_a_mix_dry_sooner(
    gate: str, mix: dict[str, int], more: str, parts: int
) -> None:
    if governing_class({more: 1}).surface < governing_class(mix).surface:
        return
    before = drying("oil", gate, ROOM, parts=mix)
    after = drying("oil", gate, ROOM, parts={**mix, more: mix.get(more, 0) + parts})
    assert after.median >= before.median


@given(MIXES, st.integers(2, 9))
def test_only_the_proportion_of_the_parts_counts(mix: dict[str, int], times: int) -> None:
    more = {ci: parts * times for ci, parts in mix.items()}
    assert governing_class(more) == governing_class(mix)


@given(FILMS, CLIMATES, MICRONS, MIXES, st.sampled_from(AIRINGS), FACTORS)
def test_gates_open_in_their_order_whatever_the_coat(
    key: str,
    climate: Climate,
    microns: float,
    mix: dict[str, int],
    airing: str,
    factor: Factor,
) -> None:
    worked_in = [
        "",
        *(each.key for each in media().values() if binder(key).family in each.families),
    ]
    for medium_key in worked_in:
        waits = [
            drying(
                key,
                gate,
                climate,
                parts=mix,
                thickness_um=microns,
                medium=medium_key,
                airing=airing,
                factor=factor,
            ).median
            for gate in GATES
        ]
        assert waits == sorted(waits)


@pytest.mark.parametrize(
    ("mix", "governed_by"),
    [
        ({"PB27": 95, "PR83": 5}, "fast"),
        ({"PB27": 9, "PR83": 1}, "slow"),
        # A twentieth each of middling and slow: together a tenth that is middling at least.
        ({"PB27": 90, "PB29": 5, "PR83": 5}, "medium"),
        ({"PB27": 9, "PX1": 1}, "slow"),
        ({}, "medium"),
    ],
)
def test_the_slowest_significant_part_governs_a_mix(
    mix: dict[str, float], governed_by: str
) -> None:
    assert governing_class(mix).key == governed_by
    factor = drying_classes()[governed_by].surface
    assert drying("oil", "touch-dry", ROOM, parts=mix).median == timedelta(hours=120 * factor)


@pytest.mark.parametrize(
    ("mix", "complaint"),
    [
        ({"PB29": 0, "PW6": 0}, "The parts of the mix add up to nothing"),
        ({"PB29": 3, "PW6": -1}, "A part of a mix cannot be less than nothing"),
        ({"PB29": math.nan}, "A part of a mix cannot be less than nothing"),
    ],
)
def test_a_mix_that_cannot_be_is_refused(mix: dict[str, float], complaint: str) -> None:
    with pytest.raises(ValueError, match=complaint):
        drying("oil", "touch-dry", ROOM, parts=mix)


@pytest.mark.parametrize("microns", [0, -40, math.nan])
def test_a_coat_has_some_thickness(microns: float) -> None:
    with pytest.raises(ValueError, match="A coat has some thickness: more than nothing"):
        drying("oil", "touch-dry", ROOM, thickness_um=microns)


def test_a_slab_is_no_coat() -> None:
    with pytest.raises(ValueError, match="no coat of paint"):
        drying("oil", "touch-dry", ROOM, thickness_um=6000)


@pytest.mark.parametrize(
    ("key", "fields", "complaint"),
    [
        ("acrylic", {"medium": "alkyd"}, "Alkyd medium does not go into acrylic"),
        ("oil", {"medium": "honey"}, "There is no medium 'honey'"),
        ("oil", {"airing": "gale"}, "The air is still, normal, moved; not 'gale'"),
    ],
)
def test_what_does_not_go_together_is_answered_with_a_sentence(
    key: str, fields: dict[str, str], complaint: str
) -> None:
    with pytest.raises(ValueError, match=complaint):
        drying(key, "touch-dry", ROOM, **fields)


@pytest.mark.parametrize(
    ("key", "climate", "fields", "why"),
    [
        ("acrylic", Climate(8, 50), {}, "The sources cover 10 to 30 °C for acrylic, not 8 °C."),
        ("oil", Climate(20, 90), {}, "The sources cover 30 to 80 % humidity, not 90 %."),
        (
            "oil",
            ROOM,
            {"thickness_um": 300},
            "The sources cover 23 to 113 microns of wet oil colour, not 300.",
        ),
        (
            "oil",
            ROOM,
            {"parts": {"PX1": 1, "PB29": 1}},
            "PX1 is not in the table and taken as slow.",
        ),
        (
            "oil",
            ROOM,
            {"pigments": ["PX2", "PX1"]},
            "PX1 and PX2 are not in the table and taken as slow.",
        ),
        (
            "oil",
            Climate(35, 20),
            {},
            "The sources cover 10 to 30 °C for oil colour, not 35 °C. "
            "The sources cover 30 to 80 % humidity, not 20 %.",
        ),
        ("oil", ROOM, {"parts": {"PX1": 1, "PB29": 99}}, ""),
        ("oil", ROOM, {"thickness_um": 60}, ""),
        ("acrylic", ROOM, {"pigments": ["PX1"]}, ""),
    ],
)
def test_an_answer_beyond_the_sources_says_why(
    key: str, climate: Climate, fields: dict, why: str
) -> None:
    wait = drying(key, "touch-dry", climate, **fields)
    assert (wait.why, wait.beyond_data) == (why, bool(why))


@pytest.mark.parametrize("key", sorted(binders()))
def test_air_that_moves_helps_and_air_that_stands_hinders(key: str) -> None:
    still, normal, moved = (drying(key, "touch-dry", ROOM, airing=each).median for each in AIRINGS)
    assert still >= normal >= moved
    assert normal == drying(key, "touch-dry", ROOM).median


def test_a_film_thinner_than_half_the_usual_is_not_counted_on_to_dry_sooner() -> None:
    half, tenth = (drying("oil", "touch-dry", ROOM, thickness_um=um) for um in (22.5, 4.5))
    assert half.median == tenth.median
    assert tenth.beyond_data


@pytest.mark.parametrize("key", sorted(binders()))
def test_the_usual_film_changes_nothing(key: str) -> None:
    usual = binder(key).film_um or 100
    for gate in GATES:
        assert drying(key, gate, ROOM, thickness_um=usual) == drying(key, gate, ROOM)


def test_a_drier_is_quick_at_the_surface_only() -> None:
    assert drying("oil", "touch-dry", ROOM, medium="drier").median == timedelta(hours=48)
    for gate in ("through-dry", "cured"):
        assert drying("oil", gate, ROOM, medium="drier") == drying("oil", gate, ROOM)


def test_alkyd_medium_makes_tube_colour_wait_as_the_colour_with_alkyd_does() -> None:
    for gate in GATES:
        assert drying("oil", gate, ROOM, medium="alkyd", pigments=["PR83"]) == drying(
            "oil-alkyd", gate, ROOM
        )


def test_a_studio_that_dries_quickly_is_trusted_at_the_surface_only() -> None:
    quick, slow = Factor(0.5, 0.1), Factor(2, 0.1)
    plain, deep = drying("oil", "recoat", ROOM), drying("oil", "through-dry", ROOM)
    assert drying("oil", "recoat", ROOM, factor=quick).median == plain.median * 0.5
    assert drying("oil", "recoat", ROOM, factor=slow).median == plain.median * 2
    assert drying("oil", "through-dry", ROOM, factor=quick) == deep
    assert drying("oil", "through-dry", ROOM, factor=slow).median == deep.median * 2


def test_what_a_studio_has_learnt_narrows_the_span() -> None:
    published = drying("oil", "touch-dry", ROOM)
    between, within = spread_of(published.sigma)
    assert math.hypot(between, within) == pytest.approx(published.sigma)
    same = drying("oil", "touch-dry", ROOM, factor=Factor(1, between))
    assert same.sigma == pytest.approx(published.sigma)
    assert drying("oil", "touch-dry", ROOM, factor=Factor(1, 0)).sigma == pytest.approx(within)
    assert drying("oil", "touch-dry", ROOM, factor=UNTAUGHT) == published


@pytest.mark.parametrize(("median", "sd"), [(0, None), (-1, None), (50, None), (1, -0.1)])
def test_a_factor_that_cannot_be_is_refused(median: float, sd: float | None) -> None:
    with pytest.raises(ValueError, match="factor"):
        Factor(median, sd)


def test_a_binder_with_a_studios_own_values_stands_for_itself() -> None:
    gesso = binder("gesso")
    own = replace(gesso, waits={**gesso.waits, "recoat": replace(gesso.waits["recoat"], hours=4)})
    assert drying(own, "recoat", ROOM).median == timedelta(hours=4)
    assert drying("gesso", "recoat", ROOM).median == timedelta(hours=2)


@pytest.mark.parametrize(
    "wait", [Drying(timedelta(0), 0.0), Drying(timedelta(hours=5), 0.0), Drying(timedelta(0), 0.4)]
)
def test_what_was_found_wet_is_never_said_to_be_dry_already(wait: Drying) -> None:
    assert wait.at(0.5) == wait.median
    assert wait.at(0.5, elapsed=timedelta(hours=10)) == timedelta(hours=10.5)
    assert wait.at(0.5, elapsed=timedelta(hours=1)) == max(wait.median, timedelta(hours=1.05))


def test_the_harshest_coat_there_can_be_still_has_an_answer() -> None:
    worst = drying(
        "oil",
        "cured",
        Climate(-20, 100),
        parts={"PR83": 1},
        thickness_um=5000,
        medium="poppy",
        airing="still",
        factor=Factor(20),
    )
    assert worst.median >= timedelta(days=365)
    assert worst.at(0.999) > worst.median


@pytest.mark.parametrize(
    ("key", "fields", "learnt_under"),
    [
        ("oil", {"pigments": ["PR83"]}, ("oil", "slow")),
        ("oil", {"parts": {"PB27": 99, "PR83": 1}}, ("oil", "fast")),
        ("oil", {}, ("oil", "medium")),
        ("oil", {"pigments": ["PR83"], "medium": "alkyd"}, ("oil-alkyd", "")),
        ("acrylic", {"pigments": ["PR83"]}, ("acrylic", "")),
    ],
)
def test_a_studio_learns_by_binder_and_drying_class(
    key: str, fields: dict, learnt_under: tuple[str, str]
) -> None:
    assert learning_key(key, **fields) == learnt_under


def test_every_value_and_medium_says_where_it_comes_from() -> None:
    tables = (drying_values(), media(), thicknesses(), airings(), covered())
    assert all(row.source for table in tables for row in table.values())
    assert medium("alkyd").like in binders()


def test_exponents_of_thickness_lie_between_one_and_two() -> None:
    assert set(thicknesses()) == {"water", "oil", "shellac", "resin"}
    for row in thicknesses().values():
        assert 1 <= row.surface <= row.depth <= 2
    assert thicknesses()["oil"].depth == 1.5


def test_still_air_slows_and_moved_air_quickens_every_family() -> None:
    assert set(airings()) == {STILL, MOVED}
    for family in thicknesses():
        assert getattr(airings()[MOVED], family) < 1 < getattr(airings()[STILL], family)
