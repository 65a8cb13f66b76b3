"""The calendar feed against RFC 5545, read by two independent parsers.

The parsers are vobject and icalendar; the app writes with the latter, so what counts is that the
former reads the same. The rules named beside the checks are those of RFC 5545 (iCalendar), their
numbers from memory.
"""

import re
from datetime import UTC, datetime, timedelta
from unicodedata import category

import icalendar
import pytest
import vobject
from django.urls import reverse
from django.utils import timezone
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from jobs.models import Client, Commission, Panel
from schedule.domain.programme import plan_studio
from schedule.feed import studio_feed
from schedule.models import PlannedGate, PlannedSitting
from studio.domain.people import keep_person, renew_feed_link
from studio.domain.records import keep_record
from studio.models import DayOff
from tests.cast import agreed_panel, painted

MOST_OCTETS = 75
"""RFC 5545, 3.1: a line is no longer than 75 octets, the break left out."""
UTC_FORM = re.compile(rb"^(DTSTAMP|DTSTART|DTEND|LAST-MODIFIED)(.*)$", re.MULTILINE)


@pytest.fixture
def panel(clock, anna) -> Panel:
    """A panel with one coat drying and the others planned."""
    panel = agreed_panel(anna.studio)
    painted(panel.stages.first(), by=anna, end=clock.now)
    return panel


@pytest.fixture
def path(panel, anna) -> str:
    return reverse("feed", args=[anna.studio.feed_secret])


def by_icalendar(body: bytes) -> dict[str, tuple]:
    """Return (start, end, sequence, status, alarms) by UID."""
    return {
        str(event["UID"]): (
            event["DTSTART"].dt.astimezone(UTC),
            event["DTEND"].dt.astimezone(UTC),
            int(event["SEQUENCE"]),
            str(event["STATUS"]),
            len(event.walk("VALARM")),
        )
        for event in icalendar.Calendar.from_ical(body).walk("VEVENT")
    }


def by_vobject(body: bytes) -> dict[str, tuple]:
    calendar = vobject.readOne(body.decode())
    return {
        event.uid.value: (
            event.dtstart.value.astimezone(UTC),
            event.dtend.value.astimezone(UTC),
            int(event.sequence.value),
            event.status.value,
            len(event.contents.get("valarm", [])),
        )
        for event in calendar.vevent_list
    }


def unfolded(body: bytes) -> list[bytes]:
    """RFC 5545, 3.1: a break followed by one blank is taken out."""
    return body.replace(b"\r\n ", b"").split(b"\r\n")


def test_two_parsers_read_the_same_events(panel, anna):
    body = studio_feed(anna.studio)
    events = by_vobject(body)
    assert events == by_icalendar(body)
    assert len(events) == PlannedSitting.objects.count() + PlannedGate.objects.count()


def test_the_events_are_the_planned_sittings_and_gates(panel, anna):
    events = by_vobject(studio_feed(anna.studio))
    sittings = PlannedSitting.objects.values_list("start", "end")
    assert sorted(
        (start, end) for uid, (start, end, *_) in events.items() if uid.startswith("sitting-")
    ) == sorted(sittings)
    opens = PlannedGate.objects.values_list("opens", flat=True)
    # RFC 5545, 3.3.5: seconds are the finest grain of a DATE-TIME.
    assert sorted(start for uid, (start, *_) in events.items() if uid.startswith("dry-")) == sorted(
        moment.replace(microsecond=0) for moment in opens
    )


def test_every_moment_is_in_utc_form(panel, anna):
    """RFC 5545, 3.3.5, form 2: a UTC time ends in Z and carries no TZID."""
    moments = UTC_FORM.findall(studio_feed(anna.studio).replace(b"\r\n", b"\n"))
    assert moments
    assert all(re.fullmatch(rb":\d{8}T\d{6}Z", value) for _, value in moments)


def test_a_coat_drying_now_rings_when_its_gate_opens(panel, anna):
    calendar = vobject.readOne(studio_feed(anna.studio).decode())
    ringing = [event for event in calendar.vevent_list if "valarm" in event.contents]
    gate = PlannedGate.objects.get(likely__isnull=False)
    (event,) = ringing
    assert event.uid.value.startswith(f"dry-{gate.stage_id}-1@")
    # RFC 5545, 3.6.6: a DISPLAY alarm has an action, a trigger and a description.
    alarm = event.valarm
    assert alarm.action.value == "DISPLAY"
    assert alarm.trigger.value == timedelta(0)
    assert alarm.description.value


def test_what_every_calendar_and_event_must_hold_is_there(panel, anna):
    """RFC 5545, 3.6: PRODID and VERSION once; 3.6.1: UID and DTSTAMP once in each event."""
    calendar = vobject.readOne(studio_feed(anna.studio).decode())
    assert calendar.version.value == "2.0"
    assert len(calendar.contents["prodid"]) == 1
    uids = [event.uid.value for event in calendar.vevent_list]
    assert len(uids) == len(set(uids))
    assert all(len(event.contents["dtstamp"]) == 1 for event in calendar.vevent_list)


def test_a_moved_event_keeps_its_uid_and_counts_up(panel, anna, clock):
    """RFC 5545, 3.8.7.4: SEQUENCE rises with each change to an event."""
    before = by_vobject(studio_feed(anna.studio))
    day = clock.now.date()
    keep_record(DayOff(studio=anna.studio, first=day, last=day + timedelta(days=3)))
    after = by_vobject(studio_feed(anna.studio))
    assert before.keys() <= after.keys()
    moved = [uid for uid in before if before[uid][:2] != after[uid][:2]]
    assert moved
    for uid in before:
        assert after[uid][2] - before[uid][2] == (1 if uid in moved else 0)


def summaries(body: bytes) -> dict[str, tuple[str, int, datetime]]:
    """Return (SUMMARY, SEQUENCE, LAST-MODIFIED) by UID."""
    return {
        str(event["UID"]): (
            str(event["SUMMARY"]),
            int(event["SEQUENCE"]),
            event["LAST-MODIFIED"].dt,
        )
        for event in icalendar.Calendar.from_ical(body).walk("VEVENT")
    }


@pytest.mark.parametrize("renamed", ["panel", "surface", "stage"])
def test_an_event_told_of_by_another_name_counts_up(renamed, panel, anna, clock):
    """RFC 5545, 3.8.7.4: a revision of an event has a higher SEQUENCE than the one before."""
    one = studio_feed(anna.studio)
    before = summaries(one)
    clock.now += timedelta(minutes=1)
    stage = panel.stages.last()
    thing = {"panel": panel, "surface": panel.surface, "stage": stage}[renamed]
    thing.name = "Renamed"
    keep_record(thing)
    after = summaries(studio_feed(anna.studio))
    assert after.keys() == before.keys()
    changed = [uid for uid in before if before[uid][0] != after[uid][0]]
    assert changed
    for uid in changed:
        assert "Renamed" in after[uid][0]
        assert after[uid][1] == before[uid][1] + 1
        assert after[uid][2] == clock.now
    if renamed == "panel":
        planned = [uid for uid, row in by_icalendar(one).items() if row[3] == "CONFIRMED"]
        assert changed == planned


def test_another_name_for_a_person_counts_up_and_one_for_a_commission_is_not_told(
    panel, anna, clock
):
    one = studio_feed(anna.studio)
    commission = panel.commission
    commission.title = "A chest for the hall"
    keep_record(commission)
    assert studio_feed(anna.studio) == one
    anna.name = "Anna Maria"
    keep_person(anna, password="", by=anna)
    before, after = by_icalendar(one), by_icalendar(studio_feed(anna.studio))
    for uid in before:
        told = uid.startswith("sitting-") and before[uid][3] == "CONFIRMED"
        assert after[uid][2] - before[uid][2] == (1 if told else 0)


def test_what_falls_out_of_the_plan_is_cancelled(panel, anna, clock):
    """RFC 5545, 3.8.1.11: STATUS:CANCELLED, so that a calendar that has it takes it out."""
    before = by_vobject(studio_feed(anna.studio))
    Commission.objects.update(state="declined")
    plan_studio(anna.studio, now=clock.now)
    after = by_vobject(studio_feed(anna.studio))
    assert after.keys() == before.keys()
    assert {status for *_, status, _ in after.values()} == {"CANCELLED"}
    assert {alarms for *_, alarms in after.values()} == {0}


def check_lines(body: bytes) -> None:
    """RFC 5545, 3.1: CRLF ends every line, none is over 75 octets, and all is UTF-8."""
    assert body.endswith(b"END:VCALENDAR\r\n")
    assert b"\n" not in body.replace(b"\r\n", b"")
    assert b"\r" not in body.replace(b"\r\n", b"")
    for line in body.split(b"\r\n"):
        assert len(line) <= MOST_OCTETS, line
    for line in unfolded(body):
        line.decode()


NAMES = st.text(
    st.characters(codec="utf-8", exclude_characters="\0") | st.sampled_from(',;:\\"\n\r\t🎨ü'),
    min_size=1,
    max_size=80,
)


def in_one_line(text: str) -> str:
    """The text with control characters taken as blanks, and one blank between words."""
    return " ".join("".join(" " if category(sign) == "Cc" else sign for sign in text).split())


@settings(
    max_examples=20, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture]
)
@given(name=NAMES, studio_name=NAMES)
def test_any_name_is_folded_escaped_and_read_back(panel, anna, name, studio_name):
    """RFC 5545, 3.3.11: commas, semicolons, backslashes escaped; 3.1: no control characters."""
    Panel.objects.filter(pk=panel.pk).update(name=name)
    studio = anna.studio
    studio.name = studio_name
    plan_studio(studio, now=timezone.now())
    body = studio_feed(studio)
    check_lines(body)
    assert by_vobject(body) == by_icalendar(body)
    calendar = vobject.readOne(body.decode())
    # RFC 7986, 5.1: NAME is a TEXT.
    assert calendar.name_list[0].value.count("\n") == 0
    read = {event.summary.value for event in calendar.vevent_list}
    assert in_one_line(f"Lid: {name}: Prime, coat 2 of 2") in read
    assert read == {
        str(event["SUMMARY"]) for event in icalendar.Calendar.from_ical(body).walk("VEVENT")
    }


def test_a_studios_name_is_escaped_where_the_calendar_is_named(panel, anna):
    studio = anna.studio
    studio.name = "Brush, Pot; and\nKettle"
    lines = unfolded(studio_feed(studio))
    assert rb"NAME:Brush\, Pot\; and Kettle: programme" in lines
    assert rb"X-WR-CALNAME:Brush\, Pot\; and Kettle: programme" in lines


def test_the_page_sends_a_calendar_that_nobody_else_may_keep(client, path):
    answer = client.get(path)
    assert answer["Content-Type"] == "text/calendar; charset=utf-8"
    assert "private" in answer["Cache-Control"]
    check_lines(answer.content)


def test_two_fetches_give_the_same_bytes(client, path, clock):
    one = client.get(path)
    clock.now += timedelta(hours=3)
    two = client.get(path)
    assert one.content == two.content
    assert one["ETag"] == two["ETag"]


def test_an_unchanged_feed_is_not_sent_again(client, path, panel):
    """RFC 9110, 13.1.2: If-None-Match with the tag of what is there now is answered by 304."""
    tag = client.get(path)["ETag"]
    again = client.get(path, headers={"If-None-Match": tag})
    assert (again.status_code, again.content) == (304, b"")
    panel.name = "Another name"
    keep_record(panel)
    assert client.get(path, headers={"If-None-Match": tag}).status_code == 200


def test_a_change_within_the_same_second_is_sent(client, path, anna, clock):
    first = client.get(path)
    day = clock.now.date()
    keep_record(DayOff(studio=anna.studio, first=day, last=day))
    tags = {"If-None-Match": first["ETag"]}
    if "Last-Modified" in first:
        tags["If-Modified-Since"] = first["Last-Modified"]
    assert client.get(path, headers=tags).status_code == 200


def test_a_renewed_link_kills_the_old_one(client, path, anna):
    renew_feed_link(anna.studio)
    assert client.get(path).status_code == 404
    assert client.get(reverse("feed", args=[anna.studio.feed_secret])).status_code == 200


def test_whoever_holds_the_link_learns_no_client_and_no_price(client, path, anna):
    Client.objects.update(name="Clara Unsaid", address="7 Secret Lane", email="c@unsaid.example")
    body = b"".join(unfolded(client.get(path).content)).decode()
    for word in ("Clara", "Unsaid", "Secret Lane", "A painted chest", "EUR", "€", "35"):
        assert word not in re.sub(r"\d{6,}", "", body)


def test_another_studios_work_is_not_in_it(client, path, stranger):
    other = agreed_panel(stranger.studio, "Not yours")
    assert other.stages.exists()
    assert b"Not yours" not in client.get(path).content


def test_an_empty_feed_is_a_calendar_too(client, anna):
    body = client.get(reverse("feed", args=[anna.studio.feed_secret])).content
    check_lines(body)
    assert vobject.readOne(body.decode()).contents.get("vevent") is None
