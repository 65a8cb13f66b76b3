"""Working hours on the wall clock become open windows of absolute time."""

from datetime import UTC, date, datetime, time, timedelta, timezone
from itertools import pairwise
from zoneinfo import ZoneInfo

import pytest
from hypothesis import given
from hypothesis import strategies as st

from schedule.engine.calendar import WeeklyHours, Window, cut_out, merged, open_windows

BERLIN = ZoneInfo("Europe/Berlin")
MONDAY = date(2026, 3, 2)


def at(day: int, hour: int, minute: int = 0) -> datetime:
    return datetime(2026, 3, day, hour, minute, tzinfo=UTC)


def test_nine_o_clock_stays_nine_o_clock_when_the_clocks_change() -> None:
    # Berlin changes on Sunday 29 March 2026, from UTC+1 to UTC+2.
    hours = [WeeklyHours(weekday, time(9), time(12)) for weekday in (0, 5)]
    windows = open_windows(
        hours, days_off=(), zone=BERLIN, first=date(2026, 3, 28), last=date(2026, 3, 30)
    )
    assert windows == (Window(at(28, 8), at(28, 11)), Window(at(30, 7), at(30, 10)))


def test_hours_across_the_spring_change_are_an_hour_shorter() -> None:
    night = [WeeklyHours(6, time(1), time(5))]
    day = date(2026, 3, 29)
    (window,) = open_windows(night, days_off=(), zone=BERLIN, first=day, last=day)
    assert window.end - window.start == timedelta(hours=3)


def test_hours_across_the_autumn_change_are_an_hour_longer() -> None:
    night = [WeeklyHours(6, time(1), time(5))]
    day = date(2026, 10, 25)
    (window,) = open_windows(night, days_off=(), zone=BERLIN, first=day, last=day)
    assert window.end - window.start == timedelta(hours=5)


def test_hours_that_a_clock_change_leaves_without_length_are_dropped() -> None:
    # 02:30 does not occur and is read as 03:30 summer time, after the closing at 03:15.
    skipped = [WeeklyHours(6, time(2, 30), time(3, 15))]
    day = date(2026, 3, 29)
    assert open_windows(skipped, days_off=(), zone=BERLIN, first=day, last=day) == ()


def test_nothing_opens_on_a_day_off() -> None:
    hours = [WeeklyHours(weekday, time(9), time(12)) for weekday in range(7)]
    windows = open_windows(
        hours,
        days_off=[date(2026, 3, 3)],
        zone=ZoneInfo("UTC"),
        first=MONDAY,
        last=date(2026, 3, 4),
    )
    assert windows == (Window(at(2, 9), at(2, 12)), Window(at(4, 9), at(4, 12)))


def test_hours_that_overlap_or_touch_are_one_window() -> None:
    hours = [
        WeeklyHours(0, time(13), time(15)),
        WeeklyHours(0, time(9), time(12)),
        WeeklyHours(0, time(11), time(13)),
    ]
    windows = open_windows(hours, days_off=(), zone=ZoneInfo("UTC"), first=MONDAY, last=MONDAY)
    assert windows == (Window(at(2, 9), at(2, 15)),)


def test_a_last_day_before_the_first_gives_no_windows() -> None:
    hours = [WeeklyHours(0, time(9), time(12))]
    assert open_windows(hours, days_off=(), zone=BERLIN, first=MONDAY, last=date(2026, 3, 1)) == ()


@pytest.mark.parametrize(
    ("weekday", "start", "end"),
    [
        (7, time(9), time(12)),
        (-1, time(9), time(12)),
        (0, time(12), time(9)),
        (0, time(9), time(9)),
        (0, time(22), time(0)),
        (0, time(9, tzinfo=UTC), time(12, tzinfo=UTC)),
    ],
)
def test_impossible_weekly_hours_are_refused(weekday: int, start: time, end: time) -> None:
    with pytest.raises(ValueError, match=r"weekday|after they start|wall-clock"):
        WeeklyHours(weekday, start, end)


@pytest.mark.parametrize(
    ("start", "end"),
    [
        (at(2, 9), at(2, 9)),
        (at(2, 10), at(2, 9)),
        (at(2, 9).replace(tzinfo=None), at(2, 10)),
        (at(2, 9), at(2, 10).astimezone(timezone(timedelta(hours=1)))),
    ],
)
def test_a_window_without_length_or_not_in_utc_is_refused(start: datetime, end: datetime) -> None:
    with pytest.raises(ValueError, match=r"window"):
        Window(start, end)


minutes = st.integers(0, 3000).map(lambda minute: at(1, 0) + timedelta(minutes=minute))
windows = st.builds(
    lambda start, length: Window(start, start + timedelta(minutes=length)),
    minutes,
    st.integers(1, 400),
)


@given(st.lists(windows, max_size=8), minutes)
def test_merging_keeps_every_open_minute_and_opens_none(
    given_windows: list[Window], minute: datetime
) -> None:
    joined = merged(given_windows)
    was_open = any(window.start <= minute < window.end for window in given_windows)
    assert any(window.start <= minute < window.end for window in joined) == was_open
    assert all(a.end < b.start for a, b in pairwise(joined))


spans = st.lists(
    st.tuples(st.integers(0, 60), st.integers(1, 20)).map(
        lambda span: Window(
            datetime(2026, 11, 2, tzinfo=UTC) + timedelta(hours=span[0]),
            datetime(2026, 11, 2, tzinfo=UTC) + timedelta(hours=span[0] + span[1]),
        )
    ),
    max_size=6,
)


@given(spans, spans)
def test_what_gaps_leave_of_windows_is_every_hour_in_one_and_in_no_gap(windows, gaps) -> None:
    left = cut_out(windows, gaps)
    assert left == merged(left), "in order and apart"
    for hour in range(90):
        moment = datetime(2026, 11, 2, tzinfo=UTC) + timedelta(hours=hour)
        within = [any(w.start <= moment < w.end for w in some) for some in (windows, gaps, left)]
        assert within[2] == (within[0] and not within[1])
