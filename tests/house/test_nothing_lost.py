"""What was logged or typed stays, whatever else happens at the same moment."""

from datetime import UTC, datetime, timedelta

import pytest
from django.urls import reverse

from jobs.domain.commissions import decline_commission
from jobs.domain.work import start_sitting, stop_sitting
from jobs.models import Client, Commission, Sitting, Stage
from quotes.domain.estimates import issue_estimate
from quotes.models import Estimate
from quotes.papers import draft_estimate
from schedule.domain import programme as planning
from schedule.models import Programme
from studio.domain.records import keep_record, remove_record
from studio.models import Studio
from studio.refusal import Refused
from tests.cast import agreed_panel, asked, job, panel_of, piece_of, surface_of

NINE = datetime(2026, 11, 2, 9, tzinfo=UTC)
HOUR = timedelta(hours=1)


def test_an_old_form_of_a_sitting_does_not_take_back_its_finished_coat(at_desk, anna):
    stage = job(anna.studio).stages.first()
    sitting = start_sitting(stage, person=anna, at=NINE)
    address = reverse("sitting-edit", args=[sitting.pk])
    shown = at_desk.get(address).context["form"]
    stop_sitting(sitting, at=NINE + HOUR, finishes_coat=True)
    old = {
        "person": anna.pk,
        "start": "2026-11-02T09:00",
        "end": "",
        "note": "typed meanwhile",
        "seen_version": shown["seen_version"].value(),
    }
    answer = at_desk.post(address, old)
    assert answer.status_code == 422
    assert "typed meanwhile" in answer.content.decode()
    kept = Sitting.objects.get()
    assert (kept.end, kept.finishes_coat) == (NINE + HOUR, True)


def test_a_form_gone_back_to_and_changed_is_another(at_desk):
    once = at_desk.get(reverse("client-new")).context["once"]
    for name in ("Clara", "Clara", "Dora"):
        at_desk.post(reverse("client-new"), {"name": name, "once": str(once)})
    assert sorted(Client.objects.values_list("name", flat=True)) == ["Clara", "Dora"]


def test_a_tap_repeated_after_going_back_says_that_it_was_counted(at_desk, anna):
    stage = job(anna.studio).stages.first()
    tap = {"once": "6f1d2a52-9f3e-4c35-8f2f-0f2a0c7d3b11"}
    at_desk.post(reverse("sitting-start", args=[stage.pk]), tap)
    stop_sitting(Sitting.objects.get(), at=datetime.now(UTC), finishes_coat=False)
    page = at_desk.post(reverse("sitting-start", args=[stage.pk]), tap, follow=True)
    assert "counted already" in page.content.decode()
    assert not Sitting.objects.filter(end=None).exists()


def test_what_was_edited_while_the_paper_was_drawn_is_not_undone(at_desk, anna, clock):
    commission = asked(anna.studio)
    panel_of(surface_of(piece_of(commission)))
    drawn = Commission.objects.get()
    draft = draft_estimate(drawn, now=clock.now)
    commission.refresh_from_db()
    commission.title = "A chest, after all with a lid"
    keep_record(commission)
    with pytest.raises(Refused, match="changed"):
        issue_estimate(draft, at=clock.now, seen_total=draft.pricing.costing.total)
    assert Commission.objects.get().title == "A chest, after all with a lid"
    assert not commission.estimates.exists()


def test_a_commission_declined_while_the_paper_was_drawn_is_not_issued(anna, clock):
    commission = asked(anna.studio)
    panel_of(surface_of(piece_of(commission)))
    draft = draft_estimate(Commission.objects.get(), now=clock.now)
    decline_commission(Commission.objects.get())
    with pytest.raises(Refused, match="declined"):
        issue_estimate(draft, at=clock.now, seen_total=draft.pricing.costing.total)
    assert Commission.objects.get().state == Commission.State.DECLINED


def test_two_at_one_coat_finish_it_once(anna, berit):
    steps = (("prime", "gesso", 1, "recoat"),)
    stage = job(anna.studio, steps=steps).stages.get()
    sittings = [start_sitting(stage, person=who, at=NINE) for who in (anna, berit)]
    for sitting in sittings:
        stop_sitting(sitting, at=NINE + HOUR, finishes_coat=True)
    assert Stage.objects.get().coats_done == 1


def test_her_tap_is_kept_when_the_planner_breaks_down(at_desk, anna, monkeypatch):
    stage = agreed_panel(anna.studio).stages.first()

    def broken(problem, old):
        raise RuntimeError("a fault of the planner")

    monkeypatch.setattr(planning, "calm_plan", broken)
    assert at_desk.post(reverse("sitting-start", args=[stage.pk])).status_code == 302
    assert Sitting.objects.filter(stage=stage, end=None).exists()
    assert Programme.objects.get().troubles == [planning.UNPLANNED]
    assert at_desk.get(reverse("bench")).status_code == 200


def test_an_absurd_price_is_an_obstacle_and_no_breakdown(at_desk, anna):
    panel_of(surface_of(piece_of(asked(anna.studio))))
    Studio.objects.update(hourly_cost=10**14)
    page = at_desk.get(reverse("estimate", args=[1]))
    assert page.status_code == 200
    assert "far more than any price" in page.content.decode()


def test_the_coldest_dampest_room_can_still_be_planned(anna, clock):
    steps = (("details", "oil", 1, "cured"), ("varnish", "resin-varnish", 1, "cured"))
    job(anna.studio, steps=steps)
    Studio.objects.update(room_temperature=-5, room_humidity=100)
    studio = Studio.objects.get(pk=anna.studio.pk)
    assert planning.plan_studio(studio, now=clock.now).troubles != [planning.UNPLANNED]


def test_a_word_added_to_a_sitting_leaves_its_times_to_the_second(at_desk, anna):
    sitting = start_sitting(job(anna.studio).stages.first(), person=anna, at=NINE)
    end = NINE + HOUR + timedelta(seconds=41)
    stop_sitting(sitting, at=end, finishes_coat=True)
    address = reverse("sitting-edit", args=[sitting.pk])
    typed = {
        "person": anna.pk,
        "start": "2026-11-02T09:00",
        "end": "2026-11-02T10:00",
        "finishes_coat": "on",
        "note": "thin",
        "seen_version": at_desk.get(address).context["form"]["seen_version"].value(),
    }
    assert at_desk.post(address, typed).status_code == 302
    kept = Sitting.objects.get()
    assert (kept.end, kept.note) == (end, "thin")


@pytest.mark.parametrize("part", ["piece", "surface", "panel"])
def test_what_the_client_accepted_is_not_removed_until_that_is_undone(part, anna):
    panel = job(anna.studio)
    thing = {"piece": panel.surface.piece, "surface": panel.surface, "panel": panel}[part]
    with pytest.raises(Refused, match="accepted"):
        remove_record(thing)
    assert Stage.objects.filter(panel=panel).exists()


@pytest.mark.parametrize("logged", ["sitting", "touch_test"])
@pytest.mark.parametrize("part", ["commission", "piece", "surface", "panel", "stage"])
def test_the_log_goes_with_nothing_that_is_removed(part, logged, record, monkeypatch):
    other = {"sitting": record.touch_test, "touch_test": record.sitting}[logged]
    type(other).objects.filter(pk=other.pk).delete()
    Estimate.objects.all().delete()
    thing = getattr(record, part)
    with pytest.raises(Refused, match="Work is logged on"):
        remove_record(thing)
    # A sitting begun between the question and the answer is met by the database alone.
    monkeypatch.setattr(type(thing), "why_kept", lambda self: "")
    with pytest.raises(Refused, match=r"in use by: (sitting|touch test) on prime"):
        remove_record(thing)
    assert type(getattr(record, logged)).objects.exists()


def test_a_server_error_leaves_its_trace_in_the_log(client, anna, monkeypatch, caplog):
    client.force_login(anna)
    client.raise_request_exception = False
    monkeypatch.setattr("schedule.views.bench.bench_of", lambda *_, **__: 1 / 0)
    assert client.get(reverse("bench")).status_code == 500
    assert "ZeroDivisionError" in caplog.text
