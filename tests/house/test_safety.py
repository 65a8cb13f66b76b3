"""What a page promises unseen: the strict policy, and the hours of its own studio."""

from datetime import datetime, timedelta

import pytest
from django.urls import reverse
from django.utils import timezone

from jobs.domain.work import start_sitting
from jobs.models import Sitting
from studio.models import Person
from tests.cast import job, studio_of

POLICY = {
    "default-src": "'self'",
    "script-src": "'self'",
    "style-src": "'self'",
    "img-src": "'self' data:",
    "object-src": "'none'",
    "base-uri": "'none'",
    "form-action": "'self'",
    "frame-ancestors": "'none'",
}
"""Content Security Policy Level 3: nothing but our own files, no plug-in, no frame, no base."""


def policy_of(response) -> dict[str, str]:
    stated = response.headers["Content-Security-Policy"].split(";")
    return dict(part.strip().split(" ", 1) for part in stated)


@pytest.mark.parametrize("page", ["bench", "clients", "business"])
def test_every_page_states_the_strict_policy(page, at_desk):
    assert policy_of(at_desk.get(reverse(page))) == POLICY


def test_the_door_and_what_is_not_there_state_it_too(client, anna):
    assert policy_of(client.get(reverse("sign-in"))) == POLICY
    client.force_login(anna)
    missing = client.get("/nowhere/")
    assert missing.status_code == 404
    assert policy_of(missing) == POLICY


def sitting_at(person: Person, at: datetime) -> Sitting:
    stage = job(person.studio).stages.first()
    return start_sitting(stage, person=person, at=at)


def test_each_studio_sees_and_types_its_own_hours_one_after_the_other(db, client, clock):
    """09:00 UTC on 2 November: +05:45 in Nepal, -05:00 in New York (tz database)."""
    nine, shown = clock.now, {"Asia/Kathmandu": "14:45", "America/New_York": "04:00"}
    for number, (zone, hour) in enumerate(shown.items()):
        email = f"painter{number}@example.org"
        person = studio_of("Any", person="Ada", email=email, time_zone=zone)
        sitting = sitting_at(person, nine)
        client.force_login(person)
        address = reverse("sitting-edit", args=[sitting.pk])
        page = client.get(address)
        assert f'value="2026-11-02T{hour}"' in page.content.decode()
        typed = {"person": person.pk, "start": f"2026-11-02T{hour[:3]}00", "end": ""}
        seen = page.context["form"]["seen_version"].value()
        assert client.post(address, {**typed, "seen_version": seen}).status_code == 302
        sitting.refresh_from_db()
        assert sitting.start == nine - timedelta(minutes=int(hour[3:]))
        assert timezone.get_current_timezone_name() == "UTC", "the next request starts afresh"
