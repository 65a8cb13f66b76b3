"""A tap at the bench asks the database as often with eight commissions in hand as with three."""

from datetime import timedelta

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext
from django.urls import reverse

from jobs.domain.work import start_sitting
from jobs.models import Sitting, Stage
from studio.models import Person
from tests.cast import agreed_panel, painted

HOUR = timedelta(hours=1)


def begin(stage: Stage, person: Person, clock) -> tuple[str, dict]:
    return reverse("sitting-start", args=[stage.pk]), {}


def end(stage: Stage, person: Person, clock) -> tuple[str, dict]:
    sitting = start_sitting(stage, person=person, at=clock.now)
    clock.now += HOUR
    return reverse("sitting-stop", args=[sitting.pk]), {"finishes_coat": "1"}


def touch(stage: Stage, person: Person, clock) -> tuple[str, dict]:
    painted(stage, by=person, end=clock.now)
    clock.now += HOUR / 4
    return reverse("touch-test", args=[stage.pk]), {"coat": 1, "result": "tacky"}


@pytest.mark.parametrize("tap", [begin, end, touch])
def test_a_tap_asks_no_more_with_eight_commissions_than_with_three(
    tap, client, anna, stranger, clock
):
    asked, nine = [], clock.now
    for person, count in ((anna, 3), (stranger, 8)):
        clock.now = nine
        panels = [agreed_panel(person.studio, f"Panel {number}") for number in range(count)]
        # The last to be planned, so that the plan is moved in both studios.
        path, data = tap(panels[-1].stages.first(), person, clock)
        client.force_login(person)
        with CaptureQueriesContext(connection) as queries:
            assert client.post(path, data).status_code == 302
        asked.append([query["sql"] for query in queries])
    assert len(asked[1]) <= len(asked[0]), "\n".join(asked[1])
    assert Sitting.objects.count() == 2
