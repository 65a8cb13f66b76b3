"""Touch tests as a studio writes them down, read as what they can tell."""

import math
from datetime import UTC, datetime, timedelta
from itertools import permutations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from jobs.paint.touch import Observation, Odd, Reading, Touch, observations

SINCE = datetime(2026, 3, 2, 9, tzinfo=UTC)
DAY = timedelta(days=1)


def touch(hours: float, result: str, person: str = "Anna") -> Touch:
    return Touch(SINCE + timedelta(hours=hours), result, person)


def read(*tests: Touch) -> Reading:
    return observations(tests, since=SINCE, predicted=DAY)


def interval(reading: Reading) -> tuple[float, float] | None:
    found = reading.observations
    return (found[0].low, found[0].high) if found else None


@pytest.mark.parametrize(
    ("tests", "between"),
    [
        ([touch(12, "tacky"), touch(36, "touch-dry")], (0.5, 1.5)),
        ([touch(6, "wet"), touch(12, "tacky"), touch(36, "touch-dry")], (0.5, 1.5)),
        ([touch(12, "tacky"), touch(36, "touch-dry"), touch(60, "touch-dry")], (0.5, 1.5)),
        ([touch(36, "touch-dry")], (0, 1.5)),
        ([touch(36, "through-dry")], (0, 1.5)),
        ([touch(12, "tacky"), touch(36, "touch-dry"), touch(90, "through-dry")], (0.5, 1.5)),
        ([touch(12, "tacky")], (0.5, math.inf)),
        ([], None),
    ],
)
def test_a_coat_was_dry_between_the_last_wet_and_the_first_dry_test(
    tests: list[Touch], between: tuple[float, float] | None
) -> None:
    reading = read(*tests)
    assert interval(reading) == between
    assert reading.odd == ()


def test_tests_written_down_out_of_order_are_read_by_their_times() -> None:
    late, early = touch(36, "touch-dry"), touch(12, "tacky")
    reading = read(late, early)
    assert interval(reading) == (0.5, 1.5)
    assert reading.odd == (
        Odd(
            "The test after 12 h was written down after the one after 36 h; "
            "they are read in the order of their times.",
            (late, early),
            used=True,
        ),
    )


def test_a_test_from_before_the_coat_says_nothing_of_it() -> None:
    early = touch(-1, "touch-dry")
    reading = read(early, touch(12, "tacky"))
    assert interval(reading) == (0.5, math.inf)
    assert reading.odd == (
        Odd("A test from before the coat was finished says nothing of it.", (early,)),
    )


def test_dry_before_wet_by_one_person_is_taken_back_by_the_later_test() -> None:
    hasty = touch(1.5, "touch-dry")
    reading = read(hasty, touch(12, "tacky"), touch(36, "touch-dry"))
    assert interval(reading) == (0.5, 1.5)
    assert reading.odd == (
        Odd(
            "Anna found it dry after 90 min and tacky after 12 h: the later test counts.", (hasty,)
        ),
    )


def test_where_two_people_contradict_each_other_neither_is_believed() -> None:
    berit, anna = touch(24, "touch-dry", "Berit"), touch(30, "tacky", "Anna")
    reading = read(touch(12, "wet"), berit, anna, touch(96, "touch-dry"))
    assert interval(reading) == (0.5, 4)
    assert reading.odd == (
        Odd(
            "Berit found it dry after 24 h, Anna tacky after 30 h: between the two nothing counts.",
            (berit, anna),
        ),
    )


def test_two_people_who_only_contradict_each_other_teach_nothing() -> None:
    reading = read(touch(24, "touch-dry", "Berit"), touch(96, "wet", "Anna"))
    assert interval(reading) is None
    assert [each.sentence for each in reading.odd] == [
        "Berit found it dry after 24 h, Anna wet after 4 days: between the two nothing counts."
    ]


def test_wet_and_dry_in_the_same_minute_count_for_nothing() -> None:
    for order in permutations([touch(24, "touch-dry"), touch(24, "tacky")]):
        assert interval(read(touch(12, "wet"), *order)) == (0.5, math.inf)


TESTS = st.lists(
    st.builds(
        touch,
        st.integers(-5, 200),
        st.sampled_from(["wet", "tacky", "touch-dry"]),
        st.sampled_from(["Anna", "Berit", ""]),
    ),
    max_size=7,
)


@given(TESTS)
def test_whatever_was_written_down_every_test_counts_or_is_spoken_of(tests: list[Touch]) -> None:
    reading = read(*tests)
    left_out = [test for odd in reading.odd if not odd.used for test in odd.tests]
    counted = [test for test in tests if test not in left_out]
    assert all(odd.sentence.endswith(".") for odd in reading.odd)
    assert bool(reading.observations) == bool(counted)
    for test in counted:
        low, high = reading.observations[0].low, reading.observations[0].high
        share = (test.at - SINCE) / DAY
        assert share >= high if test.dry else share <= low


@given(TESTS, st.randoms(use_true_random=False))
def test_the_order_of_writing_down_changes_nothing(tests: list[Touch], dice) -> None:
    shuffled = list(tests)
    dice.shuffle(shuffled)
    assert interval(read(*shuffled)) == interval(read(*tests))


def test_what_is_no_touch_test_is_refused() -> None:
    with pytest.raises(
        ValueError, match="A touch test finds wet, tacky, touch-dry, through-dry; not 'hard'"
    ):
        touch(1, "hard")
    with pytest.raises(ValueError, match="time zone"):
        Touch(datetime(2026, 3, 2, 9), "wet")  # noqa: DTZ001
    with pytest.raises(ValueError, match="teaches nothing"):
        observations([], since=SINCE, predicted=timedelta(0))


@pytest.mark.parametrize(("low", "high"), [(2, 1), (1, 1), (-1, 1), (0, math.inf), (math.nan, 1)])
def test_an_interval_that_cannot_be_is_refused(low: float, high: float) -> None:
    with pytest.raises(ValueError, match=r"found dry|knows of"):
        Observation(low, high)
