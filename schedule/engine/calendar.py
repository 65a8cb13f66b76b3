"""Working hours on the wall clock, turned into open windows of absolute time."""

from collections.abc import Collection, Iterable
from dataclasses import dataclass
from datetime import UTC, date, datetime, time, timedelta
from functools import lru_cache
from zoneinfo import ZoneInfo


def require_utc(moment: datetime, name: str) -> None:
    """Refuse a moment that is not an aware UTC datetime; `name` says whose it is (ValueError)."""
    if moment.tzinfo != UTC:
        raise ValueError(f"{name} must be an aware datetime in UTC, not {moment!r}.")


@dataclass(frozen=True, slots=True, order=True)
class Window:
    """Open time from `start` up to, but not including, `end`; both aware UTC datetimes.

    Raises ValueError when a moment is not UTC or the window has no length.
    """

    start: datetime
    end: datetime

    def __post_init__(self) -> None:
        require_utc(self.start, "The start of a window")
        require_utc(self.end, "The end of a window")
        if self.end <= self.start:
            raise ValueError(f"A window must end after it starts: {self.start} to {self.end}.")


@dataclass(frozen=True, slots=True)
class WeeklyHours:
    """Hours worked each week on one weekday (0 is Monday), in the studio's local wall-clock time.

    Raises ValueError when the weekday is not 0-6, a time carries a zone of its own, or the end is
    not after the start: hours over midnight are those of two days.
    """

    weekday: int
    start: time
    end: time

    def __post_init__(self) -> None:
        if self.weekday not in range(7):
            raise ValueError(f"A weekday is 0 (Monday) to 6 (Sunday), not {self.weekday}.")
        if self.start.tzinfo is not None or self.end.tzinfo is not None:
            raise ValueError("Weekly hours are wall-clock times without a zone.")
        if self.end <= self.start:
            raise ValueError(
                f"Working hours must end after they start: {self.start:%H:%M} to {self.end:%H:%M}."
            )


def instant(day: date, clock: time, zone: ZoneInfo) -> datetime:
    """Return the UTC instant of a wall-clock time on a day in a zone.

    On the days the clocks change this follows RFC 5545, section 3.3.5: a time that occurs twice
    is its first occurrence, and a time that is skipped is read with the offset from before the
    change (02:30 on a spring night is 03:30 summer time).
    """
    return datetime.combine(day, clock.replace(fold=0), tzinfo=zone).astimezone(UTC)


def merged(windows: Iterable[Window]) -> tuple[Window, ...]:
    """Return the windows in order of time, those that overlap or touch joined into one."""
    joined: list[Window] = []
    for window in sorted(windows):
        if joined and window.start <= joined[-1].end:
            joined[-1] = Window(joined[-1].start, max(joined[-1].end, window.end))
        else:
            joined.append(window)
    return tuple(joined)


def cut_out(windows: Iterable[Window], gaps: Iterable[Window]) -> tuple[Window, ...]:
    """Return what the gaps leave of the windows, in order of time."""
    left: list[Window] = []
    closed = merged(gaps)
    for window in merged(windows):
        start = window.start
        for gap in closed:
            if gap.end <= start or gap.start >= window.end:
                continue
            if gap.start > start:
                left.append(Window(start, gap.start))
            start = gap.end
        if start < window.end:
            left.append(Window(start, window.end))
    return tuple(left)


def open_windows(
    hours: Iterable[WeeklyHours],
    *,
    days_off: Collection[date],
    zone: ZoneInfo,
    first: date,
    last: date,
) -> tuple[Window, ...]:
    """Return the open windows of the local days `first` to `last`, both included.

    Each day's hours are turned into UTC on that day, so nine o'clock stays nine o'clock when the
    clocks change; skipped and repeated times are read as `instant` says, and hours that a change
    leaves without length are dropped. Nothing opens on a day off. Windows that overlap or touch
    are joined; the result is in order. A `last` before `first` gives no windows.
    """
    return _open_windows(tuple(hours), frozenset(days_off), zone, first, last)


@lru_cache(maxsize=64)
def _open_windows(
    hours: tuple[WeeklyHours, ...], closed: frozenset[date], zone: ZoneInfo, first: date, last: date
) -> tuple[Window, ...]:
    # Every tap plans anew, and hours change once a season.
    by_weekday: list[list[WeeklyHours]] = [[] for _ in range(7)]
    for worked in hours:
        by_weekday[worked.weekday].append(worked)
    found: list[Window] = []
    for offset in range((last - first).days + 1):
        day = first + timedelta(days=offset)
        if day in closed:
            continue
        for worked in by_weekday[day.weekday()]:
            start = instant(day, worked.start, zone)
            end = instant(day, worked.end, zone)
            if start < end:
                found.append(Window(start, end))
    return merged(found)
