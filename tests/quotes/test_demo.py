"""The demo studio: alive at any hour, loaded once, and never over what was typed."""

from datetime import UTC, datetime, timedelta
from io import StringIO
from itertools import pairwise

import pytest
from django.apps import apps
from django.core.management import call_command
from django.urls import reverse

from jobs.domain.cautions import piece_cautions
from jobs.domain.layering import standing_refusals
from jobs.models import Commission, Overruling, Panel, Piece, Sitting, Surface
from quotes.demo.load import load_demo
from quotes.demo.scenario import EMAIL, PASSWORD
from quotes.models import Estimate
from schedule.domain.bench import bench_of
from schedule.domain.programme import fresh_programme, planned_sittings
from schedule.models import PlannedFinish, Reminder
from studio.models import Studio

State = Commission.State


def demo(**more) -> str:
    out = StringIO()
    call_command("demo", "--load-only", stdout=out, **more)
    return out.getvalue()


def check_alive(studio: Studio, now: datetime) -> None:
    """A visitor sees every kind of thing there is, whenever she comes."""
    fresh_programme(studio, now=now)
    bench = bench_of(studio, now=now)
    assert 10 <= Panel.objects.of(studio).count() <= 14
    assert bench.drying, "something dries right now"
    assert any(not panel.ground_decided for panel in Panel.objects.of(studio))
    states = set(studio.commissions.values_list("state", flat=True))
    assert State.DELIVERED in states
    assert State.UNDER_WAY in states
    assert states & {State.ENQUIRY, State.ESTIMATED}
    assert any(row.late_days for row in PlannedFinish.objects.of(studio)), "one is late"
    assert not any(map(standing_refusals, studio.commissions.all())), "no method is refused"
    assert not Overruling.objects.exists()
    assert not Sitting.objects.filter(end__gt=now).exists(), "nothing was worked in the future"
    assert not Sitting.objects.filter(start__gt=now).exists()
    assert not Estimate.objects.filter(issued_at__gt=now).exists()
    assert studio.rack
    assert Surface.objects.of(studio).filter(name="Drawer front", removable=True).exists()
    assert studio.dated_hours.get().day > now.date(), "a visit is coming"
    assert Piece.objects.of(studio).filter(arrives__gt=now.date()).exists()
    assert Piece.objects.of(studio).filter(turned=True).exists()
    assert Panel.objects.of(studio).filter(colour_agreed_by__gt=now.date()).exists()
    assert studio.supplies.filter(comes__gt=now.date()).exists(), "a paint is on order"
    assert [row for row in planned_sittings(studio) if row.pin], "a sitting is fixed"


def test_the_demo_is_alive_on_the_sunday_night_the_clocks_go_forward_in_london(db, clock):
    clock.now = datetime(2027, 3, 28, 0, 59, 59, tzinfo=UTC)
    check_alive(load_demo(now=clock.now).studio, clock.now)


@pytest.fixture
def new_years_eve(db, clock) -> datetime:
    clock.now = datetime(2026, 12, 31, 23, 59, tzinfo=UTC)
    return clock.now


def test_a_second_start_loads_nothing_and_keeps_what_was_typed(
    new_years_eve, client, clock, mailoutbox
):
    """And on the way, a minute before midnight: it is alive, its painter finds every page, a sound
    log, and her reminders.
    """
    demo()
    check_alive(Studio.objects.get(), new_years_eve)
    check_log()
    Commission.objects.filter(number=2).update(title="Typed by me")
    kept = [list(model.objects.order_by("pk").values()) for model in apps.get_models()]
    demo()
    assert [list(model.objects.order_by("pk").values()) for model in apps.get_models()] == kept
    door = client.post(reverse("sign-in"), {"username": EMAIL, "password": PASSWORD})
    assert door.status_code == 302
    check_pages(client)
    goes_out = Reminder.objects.filter(state="waiting").order_by("due").first().goes_out
    clock.now = goes_out + timedelta(minutes=1)
    call_command("remind", "--once", stdout=StringIO())
    assert any(EMAIL in told.to for told in mailoutbox)


def check_pages(client) -> None:
    paths = [reverse(name) for name in ("bench", "programme", "reminders", "commissions")]
    for commission in Commission.objects.all():
        paths += [reverse(name, args=[commission.number]) for name in ("commission", "estimate")]
    paths += [reverse("panel", args=[panel.pk]) for panel in Panel.objects.all()]
    for path in paths:
        assert client.get(path).status_code == 200, path


def check_log() -> None:
    """What the pages would have refused is not in it."""
    for estimate in Estimate.objects.all():
        assert sum(line.amount for line in estimate.lines.all()) == estimate.net
        assert bytes(estimate.pdf).startswith(b"%PDF-")
    spans = sorted(Sitting.objects.values_list("start", "end"))
    assert all(one[1] <= two[0] for one, two in pairwise(spans))
    for commission in Commission.objects.filter(state__in=Commission.IN_HAND):
        assert commission.estimates.filter(accepted_at__isnull=False).exists()
    old = Piece.objects.filter(made_in__lt=1960)
    assert any(piece_cautions(piece) for piece in old)


def test_a_studio_begun_by_the_painter_is_left_alone(anna):
    demo()
    assert list(Studio.objects.all()) == [anna.studio]


def test_it_can_be_left_empty(db, client):
    demo(no_demo=True)
    assert not Studio.objects.exists()
    assert client.get(reverse("home"), follow=True).redirect_chain[-1][0] == reverse("begin")
