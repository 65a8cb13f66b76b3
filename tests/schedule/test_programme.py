"""The programme as it is kept: made anew with every change, rows moved rather than replaced."""

from collections import Counter
from datetime import date, timedelta

import pytest
from django.db import transaction
from django.urls import reverse

from jobs.domain.work import record_touch_test, start_sitting, stop_sitting
from jobs.models import Commission
from quotes.domain.estimates import accept_estimate, issue_estimate
from quotes.papers import draft_estimate
from schedule.domain import programme as planning
from schedule.domain.problem import build_problem
from schedule.domain.programme import (
    UNPLANNED,
    UNTOLD,
    calm_plan,
    calmly,
    fresh_programme,
    plan_studio,
    planned_gates,
    planned_sittings,
)
from schedule.domain.rows import kept_rows, plan_in
from schedule.engine.judge import faults
from schedule.engine.judge_score import score
from schedule.engine.planner import make_plan
from schedule.models import PlannedGate, PlannedSitting, Programme, Reminder
from studio.domain.records import keep_record, remove_record
from studio.models import DayOff
from tests.cast import agreed_panel, asked, painted, panel_of, piece_of, surface_of

MINUTE, HOUR, DAY = timedelta(minutes=1), timedelta(hours=1), timedelta(days=1)


@pytest.fixture(autouse=True)
def at_nine(clock):
    """Every test begins on Monday, 2 November 2026, at 09:00 in the studio."""


@pytest.fixture
def panel(anna):
    return agreed_panel(anna.studio)


def rows(studio) -> list[tuple]:
    return [(row.stage_id, row.coat, row.part, row.start, row.end) for row in kept(studio)]


def kept(studio) -> list[PlannedSitting]:
    return list(planned_sittings(studio))


def test_the_kept_plan_is_the_searched_one_and_the_judge_finds_no_fault(panel, anna, clock):
    studio = anna.studio
    panel_of(panel.surface, "Finch", left=2000)
    painted(panel.stages.first(), by=anna, end=clock.now)
    asked_for = build_problem(studio, now=clock.now)
    old = plan_in(kept_rows(studio), asked_for)
    problem = calmly(asked_for.problem, old)
    plan = calm_plan(problem, old)
    assert not faults(problem, plan)
    simple = make_plan(asked_for.problem)
    assert score(asked_for.problem, plan).total <= score(asked_for.problem, simple).total
    spans = [(row.start, row.end, str(row.person_id)) for row in kept(studio)]
    assert spans == [(row.start, row.end, row.person) for row in plan.sittings]
    opens = {(f"{row.stage_id}:{row.coat}"): row.opens for row in planned_gates(studio)}
    assert {gate.task: gate.opens for gate in plan.gates}.items() <= opens.items()
    assert len(opens) == len(plan.gates) + 1, "and the gate of the coat drying now"


def test_work_comes_into_the_programme_when_the_estimate_is_accepted(anna, clock):
    commission = asked(anna.studio)
    panel = panel_of(surface_of(piece_of(commission)))
    assert kept(anna.studio) == []
    draft = draft_estimate(commission, now=clock.now)
    estimate = issue_estimate(draft, at=clock.now, seen_total=draft.pricing.costing.total)
    assert kept(anna.studio) == []
    accept_estimate(estimate, at=clock.now)
    planned = {(row.stage_id, row.coat) for row in kept(anna.studio)}
    assert planned == {
        (stage.pk, coat) for stage in panel.stages.all() for coat in range(1, stage.coats + 1)
    }


def test_a_stopped_sitting_plans_the_next_coat_after_the_gate(panel, anna, clock):
    stage = panel.stages.first()
    begun = start_sitting(stage, person=anna, at=clock.now)
    clock.now += 2 * HOUR
    stop_sitting(begun, at=clock.now, finishes_coat=True)
    gate = planned_gates(anna.studio).get(stage=stage, coat=1)
    assert gate.drying
    assert gate.since == clock.now
    first = kept(anna.studio)[0]
    assert (first.stage_id, first.coat) == (stage.pk, 2)
    assert first.start >= gate.opens


def test_a_coat_found_tacky_moves_all_that_follows(panel, anna, clock):
    stage = panel.stages.first()
    painted(stage, by=anna, end=clock.now)
    before = planned_gates(anna.studio).get(stage=stage, coat=1).opens
    clock.now = before - 10 * MINUTE
    record_touch_test(stage, coat=1, result="tacky", by=anna, at=clock.now)
    moved = planned_gates(anna.studio).get(stage=stage, coat=1).opens
    assert moved > before
    assert all(row.start >= moved for row in kept(anna.studio))


def test_a_coat_found_touch_dry_may_be_painted_on_at_once_and_today_stays_as_planned(
    panel, anna, clock
):
    stage = panel.stages.first()
    painted(stage, by=anna, end=clock.now)
    planned = kept(anna.studio)[0].start
    clock.now += 30 * MINUTE
    record_touch_test(stage, coat=1, result="touch-dry", by=anna, at=clock.now)
    assert not planned_gates(anna.studio).filter(stage=stage, coat=1).exists()
    assert kept(anna.studio)[0].start == planned
    assert start_sitting(stage, person=anna, at=clock.now)


def test_an_edited_stage_is_planned_as_it_now_is(at_desk, panel, anna):
    stage = panel.stages.get(kind="ground-colour")
    data = {
        "kind": stage.kind, "name": stage.name, "binder": stage.binder, "coats": 3,
        "gate": stage.gate, "minutes": 40, "seen_version": stage.version,
    }  # fmt: skip
    assert at_desk.post(reverse("stage-edit", args=[stage.pk]), data).status_code == 302
    minutes = Counter()
    for row in kept(anna.studio):
        if row.stage_id == stage.pk:
            minutes[row.coat] += row.minutes
    # 40 minutes take three slots of a quarter of an hour.
    assert minutes == {1: 45, 2: 45, 3: 45}


def test_new_working_hours_move_the_work(at_desk, panel, anna, clock):
    assert kept(anna.studio)[0].start == clock.now
    for window in anna.studio.windows.exclude(weekday=3):
        at_desk.post(reverse("window-remove", args=[window.pk]))
    thursdays = {row.start.astimezone(anna.studio.zone).weekday() for row in kept(anna.studio)}
    assert thursdays == {3}


def test_nothing_is_planned_on_a_day_off_and_the_work_comes_back_with_it_removed(panel, anna):
    before = rows(anna.studio)
    off = DayOff(studio=anna.studio, first=date(2026, 11, 2), last=date(2026, 11, 4))
    keep_record(off)
    assert all(row.start.date() >= date(2026, 11, 5) for row in kept(anna.studio))
    remove_record(off)
    assert rows(anna.studio) == before


class RolledBackError(Exception):
    """What a failing transaction raises in these tests."""


def test_the_plan_is_written_in_the_transaction_of_its_cause(panel, anna, clock):
    before = rows(anna.studio)

    @transaction.atomic
    def paint_and_fail() -> None:
        painted(panel.stages.first(), by=anna, end=clock.now)
        assert rows(anna.studio) != before
        assert Reminder.objects.exists()
        raise RolledBackError

    with pytest.raises(RolledBackError):
        paint_and_fail()
    assert rows(anna.studio) == before
    assert not Reminder.objects.exists()


def test_a_row_keeps_its_identity_and_counts_its_moves(panel, anna):
    one = {(row.stage_id, row.coat, row.part): row for row in kept(anna.studio)}
    keep_record(DayOff(studio=anna.studio, first=date(2026, 11, 2), last=date(2026, 11, 2)))
    two = {(row.stage_id, row.coat, row.part): row for row in kept(anna.studio)}
    assert {key: row.pk for key, row in one.items()} == {key: row.pk for key, row in two.items()}
    for key, row in two.items():
        moved = row.start != one[key].start
        assert row.sequence - one[key].sequence == (1 if moved else 0)
    assert any(row.sequence for row in two.values())


def test_the_kept_plan_is_read_back_without_what_dries_or_was_dropped(panel, anna, clock):
    painted(panel.stages.first(), by=anna, end=clock.now)
    finch = agreed_panel(anna.studio, "Finch")
    stage = finch.stages.last()
    key = f"{stage.pk}:1"
    asked_for = build_problem(anna.studio, now=clock.now)
    left = {task.key for one in asked_for.problem.panels for task in one.tasks}
    plan = plan_in(kept_rows(anna.studio), asked_for)
    assert {gate.task for gate in plan.gates} <= left, "what dries is no gate of the plan"
    assert key in {row.task for row in plan.sittings}
    PlannedSitting.objects.filter(stage=stage).update(dropped_at=clock.now)
    plan = plan_in(kept_rows(anna.studio), asked_for)
    assert key not in {row.task for row in plan.sittings}


def test_planning_again_changes_no_row(panel, anna, clock):
    before = list(PlannedSitting.objects.values()), list(PlannedGate.objects.values())
    plan_studio(anna.studio, now=clock.now)
    assert (list(PlannedSitting.objects.values()), list(PlannedGate.objects.values())) == before


def test_what_falls_out_of_the_plan_is_kept_thirty_days_for_calendars(panel, anna, clock):
    count = PlannedSitting.objects.count()
    Commission.objects.update(state="declined")
    plan_studio(anna.studio, now=clock.now)
    assert kept(anna.studio) == []
    assert set(PlannedSitting.objects.values_list("dropped_at", "sequence")) == {(clock.now, 1)}
    plan_studio(anna.studio, now=clock.now + 29 * DAY)
    assert PlannedSitting.objects.count() == count
    plan_studio(anna.studio, now=clock.now + 31 * DAY)
    assert not PlannedSitting.objects.exists()
    assert not PlannedGate.objects.exists()


def test_a_dropped_row_comes_back_as_itself(panel, anna, clock):
    before = {row.pk for row in kept(anna.studio)}
    Commission.objects.update(state="declined")
    plan_studio(anna.studio, now=clock.now)
    Commission.objects.update(state="accepted")
    plan_studio(anna.studio, now=clock.now)
    assert {row.pk for row in kept(anna.studio)} == before
    assert {row.sequence for row in kept(anna.studio)} == {2}


def test_a_plan_that_breaks_a_rule_is_not_kept_and_her_log_is(panel, anna, clock, monkeypatch):
    before = rows(anna.studio)

    def two_at_once(problem, old):
        plan = make_plan(problem)
        first, second, *others = plan.sittings
        lain_over = type(second)(
            second.task, second.panel, second.commission, second.person, first.start, first.end
        )
        return type(plan)((first, lain_over, *others), plan.gates, plan.finishes, plan.troubles)

    monkeypatch.setattr(planning, "calm_plan", two_at_once)
    stage = panel.stages.first()
    painted(stage, by=anna, end=clock.now)
    assert rows(anna.studio) == before
    assert stage.sittings.count() == 1
    assert Programme.objects.get().troubles == [UNPLANNED]
    assert Reminder.objects.filter(stage=stage).exists(), "what dries is told of all the same"


def test_what_is_held_is_let_go_before_there_is_no_plan(panel, anna, clock, monkeypatch):
    def holding_breaks_a_rule(problem, plan):
        return ["two at once"] if problem.pins else []

    monkeypatch.setattr(planning, "faults", holding_breaks_a_rule)
    stage = panel.stages.first()
    painted(stage, by=anna, end=clock.now)
    assert Programme.objects.get().troubles == []
    assert (stage.pk, 1) not in {(row.stage_id, row.coat) for row in kept(anna.studio)}


def test_work_that_cannot_be_put_to_the_planner_hinders_no_log(panel, anna, clock, monkeypatch):
    before = rows(anna.studio)

    def fails(*args, **kwargs):
        Programme.objects.create(studio_id=0, made_at=None)

    monkeypatch.setattr(planning, "build_problem", fails)
    stage = panel.stages.first()
    painted(stage, by=anna, end=clock.now)
    assert stage.sittings.count() == 1
    assert rows(anna.studio) == before
    assert Programme.objects.get().troubles == [UNPLANNED]


def test_reminders_that_fail_hinder_neither_the_log_nor_the_plan(panel, anna, clock, monkeypatch):
    def fails(*args, **kwargs):
        Programme.objects.create(studio_id=0, made_at=None)

    monkeypatch.setattr(planning, "set_reminders", fails)
    stage = panel.stages.first()
    painted(stage, by=anna, end=clock.now)
    assert stage.sittings.count() == 1
    assert kept(anna.studio)[0].coat == 2
    assert Programme.objects.get().troubles == [UNTOLD]


def test_a_programme_is_made_anew_when_time_has_passed_it_by(panel, anna, clock):
    made = fresh_programme(anna.studio, now=clock.now)
    assert fresh_programme(anna.studio, now=clock.now + 14 * MINUTE).made_at == made.made_at
    later = clock.now + 15 * MINUTE
    assert fresh_programme(anna.studio, now=later).made_at == later
    assert kept(anna.studio)[0].start >= later


def test_panels_of_two_commissions_are_woven(anna, clock):
    """While one dries she paints the other: common practice, no source."""
    for title in ("Chest", "Cupboard"):
        panel_of(surface_of(piece_of(asked(anna.studio, title, agreed=True))), title)
    first_day = [row for row in kept(anna.studio) if row.start.date() == clock.now.date()]
    assert {row.stage.panel.name for row in first_day} == {"Chest", "Cupboard"}
    ends = [row.end for row in first_day]
    assert ends == sorted(ends)


@pytest.mark.parametrize("page", ["bench", "programme", "reminders"])
def test_an_empty_studio_has_pages_that_say_what_to_do(page, at_desk):
    answer = at_desk.get(reverse(page))
    assert answer.status_code == 200
    assert 'class="button main"' in answer.content.decode()


def test_a_panel_without_a_method_is_named_on_the_bench_and_plans_nothing(at_desk, anna):
    agreed_panel(anna.studio, "Bare", steps=())
    page = at_desk.get(reverse("bench")).content.decode()
    assert "Bare" in page
    assert "no method" in page
    assert kept(anna.studio) == []


def test_the_programme_page_tells_every_sitting_in_words_too(at_desk, panel, anna):
    answer = at_desk.get(reverse("programme"))
    assert [row for row, *_ in answer.context["agenda"]] == kept(anna.studio)
    picture = answer.context["picture"]
    assert len(picture.sittings) == len(kept(anna.studio))
    assert len(picture.washes) == len(list(planned_gates(anna.studio)))
