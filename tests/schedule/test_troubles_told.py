"""What the programme cannot do, and what will be late: told by name, with days and reasons."""

from datetime import UTC, date, datetime, timedelta

import pytest
from django.urls import reverse

from jobs.models import Commission
from schedule.domain.problem import build_problem
from schedule.domain.programme import plan_studio, planned_sittings
from schedule.engine.plan import Trouble, TroubleKind
from schedule.models import PlannedFinish, Programme
from studio.domain.records import keep_record
from tests.cast import agreed_panel, asked, panel_of, piece_of, surface_of

MINUTE = timedelta(minutes=1)


@pytest.fixture(autouse=True)
def at_nine(clock):
    """Every test begins on Monday, 2 November 2026, at 09:00 in the studio."""


@pytest.fixture
def panel(anna):
    return agreed_panel(anna.studio)


def test_a_late_commission_is_named_with_its_days(panel, anna, clock):
    commission = panel.commission
    commission.wanted = date(2026, 11, 3)
    keep_record(commission)
    finish = PlannedFinish.objects.get()
    ready = finish.finish.astimezone(anna.studio.zone).date()
    assert finish.late_days == (ready - commission.wanted).days > 0
    (sentence,) = Programme.objects.get().troubles
    assert commission.title in sentence
    assert "day" in sentence


def test_what_could_not_be_ready_even_alone_is_told_with_the_earliest_day(panel, anna, clock):
    commission = panel.commission
    commission.wanted = clock.now.date()
    keep_record(commission)
    (sentence,) = Programme.objects.get().troubles
    assert "even if it were the only one: at the earliest" in sentence
    assert "As planned, it will be" in sentence


def test_what_is_late_because_of_other_work_is_told_so(anna, clock):
    for title in ("Chest", "Cupboard", "Table", "Bed", "Box", "Bench", "Stool", "Clock"):
        panel_of(surface_of(piece_of(asked(anna.studio, title, agreed=True))), title)
    first = PlannedFinish.objects.order_by("finish").first()
    ready = first.finish.astimezone(anna.studio.zone).date()
    for one in Commission.objects.all():
        one.wanted = ready
        keep_record(one)
    told = Programme.objects.get().troubles
    assert told
    assert all("because of other work" in sentence for sentence in told)
    assert all("By itself it would be ready" in sentence for sentence in told)


def test_coats_that_do_not_go_together_are_told_by_their_names(panel, anna, clock):
    asked_of = build_problem(anna.studio, now=clock.now)
    (key, *others) = (task.key for task in asked_of.problem.panels[0].tasks)
    mine = asked_of.problem.panels[0].key
    trouble = Trouble(
        TroubleKind.PIN_EARLY,
        asked_of.problem.panels[0].commission,
        mine,
        others[-1],
        0,
        mine,
        others[0],
        ((mine, key), (mine, others[0])),
    )
    names = [asked_of.stage_and_coat(task)[0].coat_name(1) for task in (key, others[-1])]
    sentence = asked_of.told(trouble, {})
    assert all(name in sentence for name in names)
    assert " and " in sentence
    assert ":1" not in sentence


def test_ready_at_the_midnight_that_ends_the_wanted_day_is_in_time(panel, anna):
    commission = panel.commission
    commission.wanted = date(2026, 11, 10)
    midnight = datetime(2026, 11, 11, tzinfo=UTC)
    row = PlannedFinish(studio=anna.studio, commission=commission, finish=midnight)
    assert row.late_days == 0
    row.finish += MINUTE
    assert row.late_days == 1


@pytest.mark.parametrize(
    ("left_out", "sentence"), [("people", "nobody to do the work"), ("hours", "no working hours")]
)
def test_a_studio_without_hands_or_hours_is_told_so(
    left_out, sentence, at_desk, panel, anna, clock
):
    if left_out == "people":
        anna.paints = False
        anna.save()
    else:
        anna.studio.windows.all().delete()
    plan_studio(anna.studio, now=clock.now)
    for page in ("programme", "bench"):
        answer = at_desk.get(reverse(page))
        assert answer.status_code == 200
        assert sentence in answer.content.decode()
    assert not planned_sittings(anna.studio)
    assert PlannedFinish.objects.get().finish is None


def test_a_stage_too_long_for_any_hours_is_named(at_desk, panel, anna, clock):
    anna.studio.windows.all().delete()
    anna.studio.windows.create(weekday=0, start="09:00", end="09:15")
    panel.stages.filter(kind="first-oil").update(minutes=400)
    plan_studio(anna.studio, now=clock.now)
    (sentence,) = Programme.objects.get().troubles
    assert "Plait" in sentence
    assert "no working hours are that long" in sentence
    assert sentence in at_desk.get(reverse("programme")).content.decode()
