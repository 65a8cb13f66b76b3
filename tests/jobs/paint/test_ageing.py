"""How old a coat is in a room that changed."""

from datetime import UTC, datetime, timedelta

import pytest
from hypothesis import given
from hypothesis import strategies as st

from jobs.paint.ageing import Ageing

NOON = datetime(2026, 11, 2, 12, tzinfo=UTC)
HOUR = timedelta(hours=1)
CHANGED = st.lists(
    st.tuples(st.integers(1, 500), st.floats(0.1, 8)), max_size=4, unique_by=lambda one: one[0]
)


def changed(*bends: tuple[float, float]) -> Ageing:
    return Ageing(NOON, tuple((NOON + hours * HOUR, pace) for hours, pace in sorted(bends)))


def test_in_one_room_an_hour_is_an_hour():
    assert changed().age(NOON + 5 * HOUR) == 5 * HOUR
    assert changed().when(5 * HOUR) == NOON + 5 * HOUR
    assert changed().as_if_since == NOON


def test_half_dried_in_a_room_half_as_quick_it_has_half_of_the_new_wait_to_go():
    # Ten hours of 20 are gone; of the new wait of 10 hours five are left.
    coat = changed((10, 0.5))
    assert coat.age(NOON + 10 * HOUR) == 5 * HOUR
    assert coat.when(10 * HOUR) == NOON + 15 * HOUR
    assert coat.as_if_since == NOON + 5 * HOUR


def test_what_was_dry_before_the_change_was_dry_at_the_pace_of_the_old_room():
    assert changed((10, 0.5)).when(4 * HOUR) == NOON + 8 * HOUR


def test_each_of_several_rooms_counts_for_its_own_hours():
    assert changed((10, 0.5), (20, 2)).age(NOON + 21 * HOUR) == (5 + 20 + 1) * HOUR


@given(CHANGED, st.integers(0, 1000))
def test_age_and_hour_tell_the_same(bends, hours):
    coat = changed(*bends)
    at = NOON + hours * HOUR
    assert (coat.when(coat.age(at)) - at).total_seconds() == pytest.approx(0, abs=0.01)


@given(CHANGED, st.integers(500, 1000))
def test_after_the_last_change_it_is_as_if_laid_in_the_room_as_it_is(bends, hours):
    coat = changed(*bends)
    at = NOON + hours * HOUR
    assert (at - coat.as_if_since - coat.age(at)).total_seconds() == pytest.approx(0, abs=0.01)
