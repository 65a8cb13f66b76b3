"""When each person of a studio may sit at the bench, as the engine's windows."""

from collections.abc import Iterable
from datetime import date, datetime, time, timedelta
from zoneinfo import ZoneInfo

from schedule.engine.calendar import (
    WeeklyHours,
    Window,
    cut_out,
    instant,
    merged,
    open_windows,
)
from studio.models import DatedHours, Person, Studio

HORIZON = timedelta(days=2 * 366)
"""How far ahead working hours are laid out; work beyond is named as such. No rule of the trade: two
years are more than a studio promises, and longer ones would slow every plan."""


def windows_of(
    studio: Studio, people: Iterable[Person], *, first: date
) -> dict[int, tuple[Window, ...]]:
    """Return each person's open windows by her key, from the studio's local day `first` on.

    They are the weekly hours and the longer ones, less days off and time away, within the days
    she paints here.
    """
    last = first + HORIZON
    off = _days_off(studio, first, last)
    hours = [WeeklyHours(row.weekday, row.start, row.end) for row in studio.windows.all()]
    weekly = open_windows(hours, days_off=off, zone=studio.zone, first=first, last=last)
    dated = [
        row
        for row in studio.dated_hours.filter(day__gte=first, day__lte=last)
        if row.day not in off
    ]
    return {person.pk: _hers(person, weekly, dated, studio.zone) for person in people}


def day_starts(day: date, zone: ZoneInfo) -> datetime:
    """Return the first instant of a local day, in UTC."""
    return instant(day, time(0), zone)


def _days_off(studio: Studio, first: date, last: date) -> set[date]:
    return {
        row.first + timedelta(days=day)
        for row in studio.days_off.filter(last__gte=first, first__lte=last)
        for day in range((min(row.last, last) - row.first).days + 1)
    }


def _hers(
    person: Person, weekly: tuple[Window, ...], dated: list[DatedHours], zone: ZoneInfo
) -> tuple[Window, ...]:
    hers = [row for row in dated if row.person_id in (None, person.pk)]
    extra = _spans(hers, DatedHours.Kind.EXTRA, zone)
    away = _spans(hers, DatedHours.Kind.AWAY, zone)
    windows = merged([*weekly, *extra]) if extra else weekly
    windows = cut_out(windows, away) if away else windows
    if person.paints_from:
        start = day_starts(person.paints_from, zone)
        windows = tuple(
            Window(max(one.start, start), one.end) for one in windows if one.end > start
        )
    if person.paints_until:
        end = day_starts(person.paints_until + timedelta(days=1), zone)
        windows = tuple(Window(one.start, min(one.end, end)) for one in windows if one.start < end)
    return windows


def _spans(rows: Iterable[DatedHours], kind: DatedHours.Kind, zone: ZoneInfo) -> list[Window]:
    """Return the hours of one kind, but for those that a change of the clocks leaves no length."""
    spans = [
        (instant(row.day, row.start, zone), instant(row.day, row.end, zone))
        for row in rows
        if row.kind == kind
    ]
    return [Window(start, end) for start, end in spans if start < end]
