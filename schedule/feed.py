"""The calendar feed (RFC 5545): planned sittings, and the hour each coat comes dry."""

import re
from datetime import timedelta

from icalendar import Alarm, Calendar, Event, vText

from schedule.models import PlannedGate, PlannedSitting
from studio.models import Studio

PRODUCT = "-//Between Coats//Programme//EN"
REFRESH = timedelta(minutes=30)
MOMENT = timedelta(minutes=15)
"""How long a 'comes dry' entry lasts in a calendar, so that it can be seen."""


BREAKS = re.compile(r"[\s\x00-\x1f\x7f-\x9f]+")


def one_line(text: str) -> str:
    """Return a text without line breaks and control characters, which a calendar may not hold."""
    return BREAKS.sub(" ", text).strip()


def studio_feed(studio: Studio) -> bytes:
    """Return the feed as bytes: UTF-8, CRLF, folded lines; the same rows give the same bytes.

    Clients' names and prices are left out: whoever holds the link sees panels and hours only.
    """
    calendar = Calendar.new(uid=f"programme@{studio.slug}", prodid=PRODUCT)
    # The library writes a name as it stands; a TEXT must have its commas and breaks escaped.
    for key in ("name", "x-wr-calname"):
        calendar[key] = vText(one_line(f"{studio.name}: programme"))
    calendar.add("refresh-interval", REFRESH, parameters={"VALUE": "DURATION"})
    calendar.add("x-published-ttl", "PT30M")
    for row in PlannedSitting.objects.of(studio):
        calendar.add_component(_sitting(row, studio))
    for row in PlannedGate.objects.of(studio):
        calendar.add_component(_dry(row, studio))
    return calendar.to_ical()


def _event(row: PlannedSitting | PlannedGate, uid: str) -> Event:
    event = Event()
    event.add("uid", uid)
    # The stamp is when the fact changed, not when it was asked for: else no two fetches agree.
    event.add("dtstamp", row.moved_at)
    event.add("last-modified", row.moved_at)
    event.add("sequence", row.sequence)
    # As stored with the sequence, so that new words never come under an old number.
    event.add("summary", one_line(row.summary))
    event.add("description", one_line(row.description))
    event.add("status", "CANCELLED" if row.dropped_at else "CONFIRMED")
    return event


def _sitting(row: PlannedSitting, studio: Studio) -> Event:
    event = _event(row, f"sitting-{row.stage_id}-{row.coat}-{row.part}@{studio.slug}")
    event.add("dtstart", row.start)
    event.add("dtend", row.end)
    return event


def _dry(row: PlannedGate, studio: Studio) -> Event:
    event = _event(row, f"dry-{row.stage_id}-{row.coat}@{studio.slug}")
    event.add("dtstart", row.opens)
    event.add("dtend", row.opens + MOMENT)
    event.add("transp", "TRANSPARENT")
    if row.drying and not row.dropped_at:
        alarm = Alarm()
        alarm.add("action", "DISPLAY")
        alarm.add("description", one_line(f"{row.summary}. {row.description}"))
        alarm.add("trigger", timedelta(0))
        event.add_component(alarm)
    return event
