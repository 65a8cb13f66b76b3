"""Lengths of time as a painter says them."""

import pytest

from schedule.engine.plan import delay_spoken, work_spoken


@pytest.mark.parametrize(
    ("minutes", "words"),
    [(0, "0 min"), (45, "45 min"), (60, "1 h"), (150, "2 h 30 min"), (1830, "30 h 30 min")],
)
def test_work_is_told_in_hours_and_minutes_never_in_days(minutes: int, words: str) -> None:
    assert work_spoken(minutes) == words


@pytest.mark.parametrize(
    ("minutes", "words"),
    [
        (30, "30 min"),
        (1439, "23 h 59 min"),
        (1440, "1 day"),
        (1441, "1 day 1 h"),
        (2879, "2 days"),
        (3 * 1440 + 240, "3 days 4 h"),
    ],
)
def test_a_delay_is_told_in_days_and_never_less_than_it_is(minutes: int, words: str) -> None:
    assert delay_spoken(minutes) == words
