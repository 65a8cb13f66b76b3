"""Working time against an independent recurrence library and against a published standard.

The library is python-dateutil's rrule, which follows the recurrence rules of RFC 5545; the clock
changes are checked against the worked examples of RFC 5545, section 3.3.5 (form 3), which are
quoted from memory.
"""

from datetime import UTC, date, datetime, time, timedelta
from zoneinfo import ZoneInfo

import pytest
from dateutil import tz
from dateutil.rrule import WEEKLY, rrule, rruleset
from hypothesis import given, settings
from hypothesis import strategies as st

from schedule.engine.calendar import WeeklyHours, Window, instant, open_windows

FIRST, LAST = date(2026, 1, 1), date(2027, 12, 31)
ZONES = ("Europe/Berlin", "America/New_York", "Australia/Lord_Howe", "Asia/Kathmandu", "UTC")


@pytest.mark.parametrize(
    ("day", "clock", "utc"),
    [
        # RFC 5545, 3.3.5: 20071104T013000 occurs twice and is 1:30 EDT (UTC-04:00), the first.
        (date(2007, 11, 4), time(1, 30), datetime(2007, 11, 4, 5, 30, tzinfo=UTC)),
        # RFC 5545, 3.3.5: 20070311T023000 is skipped and is 3:30 EDT (UTC-04:00).
        (date(2007, 3, 11), time(2, 30), datetime(2007, 3, 11, 7, 30, tzinfo=UTC)),
    ],
)
def test_repeated_and_skipped_times_are_read_as_rfc_5545_reads_them(
    day: date, clock: time, utc: datetime
) -> None:
    assert instant(day, clock, ZoneInfo("America/New_York")) == utc


def occurrences(weekday: int, clock: time, days_off: frozenset[date], zone: str) -> list[datetime]:
    """One clock time a week as a recurrence rule less its exception dates, resolved by dateutil."""
    rule = rruleset()
    start = datetime.combine(FIRST, clock)
    until = datetime.combine(LAST, time.max)
    rule.rrule(rrule(WEEKLY, dtstart=start, until=until, byweekday=weekday))
    for day in days_off:
        rule.exdate(datetime.combine(day, clock))
    place = tz.gettz(zone)
    return [
        tz.resolve_imaginary(local.replace(tzinfo=place, fold=0)).astimezone(UTC) for local in rule
    ]


def minutes_open(pairs: list[tuple[datetime, datetime]]) -> list[tuple[datetime, datetime]]:
    """The union of spans, by counting openings and closings along the line of time."""
    events = sorted(
        [(start, -1) for start, end in pairs if start < end]
        + [(end, 1) for start, end in pairs if start < end]
    )
    spans: list[tuple[datetime, datetime]] = []
    depth, opened = 0, None
    for moment, step in events:
        depth -= step
        if depth == 1 and step == -1:
            opened = moment
        elif depth == 0 and opened:
            spans.append((opened, moment))
    return spans


def by_recurrence(
    hours: list[WeeklyHours], days_off: frozenset[date], zone: str
) -> tuple[Window, ...]:
    pairs: list[tuple[datetime, datetime]] = []
    for worked in hours:
        starts = occurrences(worked.weekday, worked.start, days_off, zone)
        ends = occurrences(worked.weekday, worked.end, days_off, zone)
        pairs += zip(starts, ends, strict=True)
    return tuple(Window(start, end) for start, end in minutes_open(pairs))


@pytest.mark.parametrize("zone", ZONES)
def test_two_years_of_a_working_week_agree_with_the_recurrence_rules(zone: str) -> None:
    hours = [WeeklyHours(weekday, time(9), time(12, 30)) for weekday in range(1, 6)]
    hours += [WeeklyHours(weekday, time(13, 30), time(18)) for weekday in range(1, 5)]
    # Night hours, so that both clock changes fall inside working time.
    hours += [WeeklyHours(6, time(0, 30), time(2, 30)), WeeklyHours(6, time(2, 15), time(4))]
    days_off = frozenset(date(2026, 8, 1) + timedelta(days=n) for n in range(21))
    days_off |= {date(2026, 12, 25), date(2027, 1, 1)}
    ours = open_windows(hours, days_off=days_off, zone=ZoneInfo(zone), first=FIRST, last=LAST)
    assert ours == by_recurrence(hours, days_off, zone)


quarter_hours = st.integers(0, 95).map(lambda n: time(n // 4, n % 4 * 15))
weekly_hours = st.builds(
    lambda weekday, pair: WeeklyHours(weekday, min(pair), max(pair)),
    st.integers(0, 6),
    st.tuples(quarter_hours, quarter_hours).filter(lambda pair: pair[0] != pair[1]),
)


@settings(max_examples=40, deadline=None)
@given(
    st.lists(weekly_hours, min_size=1, max_size=4),
    st.frozensets(st.dates(FIRST, LAST), max_size=20),
    st.sampled_from(ZONES),
)
def test_any_working_week_agrees_with_the_recurrence_rules(
    hours: list[WeeklyHours], days_off: frozenset[date], zone: str
) -> None:
    ours = open_windows(hours, days_off=days_off, zone=ZoneInfo(zone), first=FIRST, last=LAST)
    assert ours == by_recurrence(hours, days_off, zone)
