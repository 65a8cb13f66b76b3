"""Hours at which gates open, told as near as they are known."""

from datetime import UTC, datetime, timedelta

import pytest
from hypothesis import given
from hypothesis import strategies as st

from jobs.domain.gates import show_gate
from jobs.paint.gates import QUARTER, quarter_up
from studio.models import Studio

LONDON = Studio(locale="en_GB", time_zone="Europe/London")
NOW = datetime(2026, 11, 24, 9, 7, 31, tzinfo=UTC)


def at(day: int, hour: int, minute: int = 0) -> datetime:
    return datetime(2026, 11, day, hour, minute, 20, tzinfo=UTC)


@pytest.mark.parametrize(
    ("opens", "told"),
    [
        (at(24, 14, 52), "today 15:00"),
        (at(25, 13, 4), "tomorrow 13:15"),
        (at(24, 23, 50), "tomorrow 00:00"),
        (at(26, 9, 0), "Thu 26 Nov 09:15"),
        (at(27, 9, 10), "Fri 27 Nov morning"),
        (at(27, 12, 0), "Fri 27 Nov afternoon"),
        (at(27, 18, 0), "Sat 28 Nov morning"),
        (at(24, 8, 52), "today 09:00"),
        (at(24, 9, 6), "today 09:07"),
        (at(20, 15, 3), "Fri 20 Nov afternoon"),
        (datetime(2027, 2, 9, 3, tzinfo=UTC), "9 February 2027 morning"),
    ],
)
def test_a_gate_is_told_to_the_quarter_nearby_and_by_half_days_beyond(opens, told):
    assert show_gate(opens, LONDON, now=NOW) == told


@given(st.integers(0, 2 * 10**9 * 10**6))
def test_a_quarter_is_never_told_too_early_nor_a_quarter_too_late(microseconds):
    instant = NOW + timedelta(microseconds=microseconds)
    told = quarter_up(instant)
    assert timedelta(0) <= told - instant < QUARTER
    assert (told.minute % 15, told.second, told.microsecond) == (0, 0, 0)
