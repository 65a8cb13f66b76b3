from datetime import timedelta

import pytest
from hypothesis import example, given
from hypothesis import strategies as st

from jobs.paint.binders import binders
from jobs.paint.drying import Climate, Drying, arrhenius, drying
from jobs.paint.gates import GATES
from jobs.paint.pigments import pigments, slowest_class

CLIMATES = st.builds(Climate, st.floats(-20, 60), st.floats(0, 100))
BINDERS = st.sampled_from(sorted(binders()))
SOME_GATES = st.sampled_from(sorted(GATES))
MIXES = st.lists(st.sampled_from(sorted(pigments())), min_size=1, max_size=4)
LIKELIHOODS = st.floats(0.01, 0.99)


@given(BINDERS, SOME_GATES, CLIMATES, CLIMATES, LIKELIHOODS)
def test_a_colder_or_damper_room_never_dries_sooner(
    key: str, gate: str, one: Climate, other: Climate, likelihood: float
) -> None:
    kind = Climate(max(one.temperature_c, other.temperature_c), min(one.humidity, other.humidity))
    harsh = Climate(min(one.temperature_c, other.temperature_c), max(one.humidity, other.humidity))
    assert drying(key, gate, harsh).at(likelihood) >= drying(key, gate, kind).at(likelihood)


@given(BINDERS, CLIMATES, MIXES, st.floats(0.05, 0.95))
@example("acrylic", Climate(44, 0), ["PB29"], 0.5)
def test_gates_open_in_their_order(
    key: str, climate: Climate, mix: list[str], likelihood: float
) -> None:
    waits = [drying(key, gate, climate, pigments=mix).at(likelihood) for gate in GATES]
    assert waits == sorted(waits)


@given(SOME_GATES, CLIMATES, MIXES, st.sampled_from([*sorted(pigments()), "PX1"]))
def test_one_more_pigment_never_makes_a_mix_dry_sooner(
    gate: str, climate: Climate, mix: list[str], more: str
) -> None:
    before = drying("oil", gate, climate, pigments=mix).likely
    assert drying("oil", gate, climate, pigments=[*mix, more]).likely >= before


@pytest.mark.parametrize(
    ("mix", "governed_by"),
    [
        (["PB27", "PR83"], "slow"),
        (["PB27", "PB29"], "medium"),
        (["PB27"], "fast"),
        (["PB27", "PX1"], "slow"),
        ([], "medium"),
    ],
)
def test_the_slowest_part_of_a_mix_governs(mix: list[str], governed_by: str) -> None:
    assert slowest_class(mix).key == governed_by


@given(BINDERS, SOME_GATES, CLIMATES)
def test_surely_is_never_sooner_than_likely(key: str, gate: str, climate: Climate) -> None:
    wait = drying(key, gate, climate)
    assert wait.surely >= wait.likely == wait.median


FILMS = st.sampled_from([key for key, each in binders().items() if each.leaves_film])
SPANS = st.timedeltas(timedelta(minutes=1), timedelta(days=400))


@given(FILMS, st.sampled_from(["touch-dry", "recoat", "cured"]), CLIMATES, LIKELIHOODS, SPANS)
def test_a_coat_found_wet_is_promised_only_for_later(
    key: str, gate: str, climate: Climate, likelihood: float, elapsed: timedelta
) -> None:
    wait = drying(key, gate, climate)
    found_wet = wait.at(likelihood, elapsed=elapsed)
    assert found_wet > elapsed
    assert found_wet >= wait.at(likelihood)
    assert wait.at(likelihood, elapsed=elapsed + timedelta(hours=5)) >= found_wet


@given(MIXES, CLIMATES)
def test_a_quick_pigment_does_not_shorten_the_wait_for_varnish(
    mix: list[str], climate: Climate
) -> None:
    plain = drying("oil", "through-dry", climate).likely
    assert drying("oil", "through-dry", climate, pigments=mix).likely >= plain


@pytest.mark.parametrize("key", ["none", "pencil"])
def test_what_leaves_no_film_is_waited_for_by_nobody(key: str) -> None:
    assert drying(key, "cured", Climate()).surely == timedelta(0)


def test_the_room_of_the_tables_changes_nothing() -> None:
    assert drying("gesso", "recoat", Climate(20, 50)).likely == timedelta(hours=2)
    assert arrhenius(20, energy=66) == 1


@pytest.mark.parametrize(
    ("binder", "climate", "mix", "beyond"),
    [
        ("acrylic", Climate(20, 50), (), False),
        ("acrylic", Climate(8, 50), (), True),
        ("oil", Climate(35, 50), (), True),
        ("oil", Climate(20, 90), (), True),
        ("oil", Climate(20, 50), ("PX1",), True),
        ("oil", Climate(20, 50), ("PB29",), False),
    ],
)
def test_an_answer_outside_the_sources_is_marked(
    binder: str, climate: Climate, mix: tuple[str, ...], beyond: bool
) -> None:
    assert drying(binder, "touch-dry", climate, pigments=mix).beyond_data is beyond


@pytest.mark.parametrize(("temperature", "humidity"), [(-30, 50), (90, 50), (20, -1), (20, 101)])
def test_a_room_that_cannot_be_is_refused(temperature: float, humidity: float) -> None:
    with pytest.raises(ValueError, match="between"):
        Climate(temperature, humidity)


@pytest.mark.parametrize("likelihood", [0, 1, -0.1, 95])
def test_a_likelihood_is_a_share(likelihood: float) -> None:
    with pytest.raises(ValueError, match="between 0 and 1"):
        Drying(timedelta(hours=1), 0.3).at(likelihood)


def test_an_unknown_gate_is_refused() -> None:
    with pytest.raises(ValueError, match="There is no gate 'bone-dry'"):
        drying("oil", "bone-dry", Climate())
