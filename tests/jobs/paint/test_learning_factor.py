"""A studio's own factor: what her tests move, how far, and what they do not."""

import math

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from jobs.paint.drying import UNTAUGHT, Climate, drying
from jobs.paint.learning import Posterior, Prior, posterior, prior_for
from jobs.paint.touch import Observation

OIL = prior_for("oil")
FACTORS = st.floats(0.1, 10)
INTERVALS = st.one_of(
    st.builds(lambda low, wide: Observation(low, low * wide), FACTORS, st.floats(1.01, 5)),
    st.builds(lambda low: Observation(low, math.inf), FACTORS),
    st.builds(lambda high: Observation(0, high), FACTORS),
)
RECORDS = st.lists(INTERVALS, max_size=6)
ABSURD = [Observation(80, 81), Observation(0, 0.001), Observation(30, math.inf)]


def about(factor: float) -> Observation:
    return Observation(factor / 1.1, factor * 1.1)


def span(found: Posterior) -> float:
    return math.log(found.high / found.low)


def test_without_a_test_the_prior_stands_exactly() -> None:
    found = posterior([], OIL)
    assert found.after == found.before
    assert (found.median, found.sd, found.tests) == (1.0, OIL.sd, 0)
    # 80 % of a normal lies within 1.2816 of its spread: NIST/SEMATECH table, as tests/outside.
    assert span(found) == pytest.approx(2 * 1.2816 * OIL.sd, rel=1e-4)
    assert found.factor is UNTAUGHT


@pytest.mark.parametrize("factor", [0.8, 1.25, 1.5])
def test_three_like_tests_weigh_as_much_as_the_published_times(factor: float) -> None:
    found = posterior([about(factor)] * 3, OIL)
    assert math.log(found.median) / math.log(factor) == pytest.approx(0.5, abs=0.03)


@pytest.mark.parametrize("absurd", ABSURD)
@pytest.mark.parametrize("tests", [0, 1, 3, 10])
def test_one_absurd_test_moves_next_to_nothing(absurd: Observation, tests: int) -> None:
    sound = [about(1.2)] * tests
    before, after = posterior(sound, OIL), posterior([*sound, absurd], OIL)
    assert after.median == pytest.approx(before.median, rel=0.01)
    assert span(after) == pytest.approx(span(before), rel=0.02)


@settings(max_examples=40)
@given(INTERVALS, st.integers(0, 8), st.floats(0.8, 1.25))
def test_no_single_test_moves_the_factor_by_more_than_its_weight(
    single: Observation, tests: int, factor: float
) -> None:
    # Against a prior worth three tests and `tests` of hers it is one in tests + 4; a test more
    # than about two and a half spreads off is taken for a slip rather than followed.
    sound = [about(factor)] * tests
    before, after = posterior(sound, OIL), posterior([*sound, single], OIL)
    moved = abs(math.log(after.median / before.median))
    assert moved <= 2.75 * OIL.observation_sd / (tests + 4)


def test_tests_that_agree_carry_the_day_however_far_they_lie_from_the_published_times() -> None:
    medians = [posterior([about(3)] * tests, OIL).median for tests in (0, 2, 4, 8, 20)]
    assert medians == sorted(medians)
    assert medians[-1] == pytest.approx(3, rel=0.15)


@pytest.mark.parametrize("factor", [0.7, 1, 1.4, 2])
def test_tests_that_agree_narrow_the_interval(factor: float) -> None:
    spans = [span(posterior([about(factor)] * tests, OIL)) for tests in (0, 2, 4, 8, 16)]
    assert spans == sorted(spans, reverse=True)


@settings(max_examples=40)
@given(RECORDS, FACTORS)
def test_a_coat_found_still_wet_never_quickens_the_studio(
    record: list[Observation], low: float
) -> None:
    before = posterior(record, OIL).median
    assert posterior([*record, Observation(low, math.inf)], OIL).median >= before * 0.9999


@settings(max_examples=40)
@given(RECORDS, FACTORS)
def test_a_coat_found_dry_at_the_first_test_never_slows_the_studio(
    record: list[Observation], high: float
) -> None:
    before = posterior(record, OIL).median
    assert posterior([*record, Observation(0, high)], OIL).median <= before * 1.0001


@settings(max_examples=40)
@given(st.lists(INTERVALS, min_size=2, max_size=6), st.randoms(use_true_random=False))
def test_the_order_of_the_tests_does_not_matter(record: list[Observation], dice) -> None:
    shuffled = list(record)
    dice.shuffle(shuffled)
    one, other = posterior(record, OIL), posterior(shuffled, OIL)
    assert other.median == pytest.approx(one.median)
    assert other.sd == pytest.approx(one.sd)


@settings(max_examples=40)
@given(RECORDS)
def test_a_posterior_is_a_distribution_with_its_median_inside(record: list[Observation]) -> None:
    found = posterior(record, OIL)
    step = found.grid[1] - found.grid[0]
    assert sum(found.before) * step == pytest.approx(1)
    assert sum(found.after) * step == pytest.approx(1)
    assert 0.05 <= found.low < found.median < found.high <= 20.001
    assert len(found.points) == len(found.grid)


def test_the_points_of_the_plot_hold_factor_prior_and_posterior() -> None:
    found = posterior([about(1.5)] * 4, OIL)
    likeliest_before = max(found.points, key=lambda point: point[1])[0]
    likeliest_after = max(found.points, key=lambda point: point[2])[0]
    assert likeliest_before == pytest.approx(1)
    assert 1 < likeliest_after < 1.5


def test_what_was_learnt_moves_the_wait_and_narrows_it() -> None:
    found = posterior([about(1.5)] * 6, OIL)
    published = drying("oil", "touch-dry", Climate())
    own = drying("oil", "touch-dry", Climate(), factor=found.factor)
    assert own.median / published.median == pytest.approx(found.median)
    assert own.surely / own.likely < published.surely / published.likely


def test_years_of_tests_at_the_end_of_the_scale_still_give_a_factor() -> None:
    flat = Prior(sd=50, observation_sd=0.3)
    assert posterior([Observation(90, 100)] * 40, flat).factor.median <= 20


@pytest.mark.parametrize(
    ("key", "gate", "complaint"),
    [
        ("oil", "through-dry", "A finger cannot judge whether a coat is dry all through"),
        ("oil", "cured", "A finger cannot judge whether a coat is cured"),
        ("pencil", "touch-dry", "Nobody waits for pencil or chalk to dry"),
        ("tar", "touch-dry", "There is no binder 'tar'"),
    ],
)
def test_a_finger_teaches_only_of_what_it_can_judge(key: str, gate: str, complaint: str) -> None:
    with pytest.raises(ValueError, match=complaint):
        prior_for(key, gate)


def test_a_prior_that_cannot_be_is_refused() -> None:
    with pytest.raises(ValueError, match="more than nothing"):
        Prior(0, 0.4)
    with pytest.raises(ValueError, match="between 0 and 1"):
        Prior(0.2, 0.4, wild_share=1)
