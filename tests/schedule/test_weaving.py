"""The long search in a process of its own: what it stores, and what it leaves alone."""

from datetime import date, timedelta

import pytest
from django.core.management import CommandError, call_command
from django.db import transaction
from django.urls import reverse

from jobs.models import Commission
from schedule.domain import comparison
from schedule.domain import weaving as at_loom
from schedule.domain.problem import build_problem
from schedule.domain.programme import keep_plan, plan_studio, planned_sittings
from schedule.domain.rows import kept_rows, plan_in
from schedule.domain.weaving import (
    BROKE,
    FAULTY,
    QUIET,
    ask_to_stop,
    begin,
    claim,
    wants_weaving,
    weave,
    won_words,
)
from schedule.engine.baselines import baselines
from schedule.models import Programme, Weaving
from schedule.models.weaving import SILENCE
from schedule.worker import work_once
from studio.domain.records import keep_record, remove_record
from studio.models import DayOff
from studio.signals import hold_changes
from tests.cast import agreed_panel, asked, panel_of, piece_of, surface_of

MINUTE, DAY = timedelta(minutes=1), timedelta(days=1)


@pytest.fixture
def studio(anna, clock, settings):
    """A studio whose plan is as poor as can be: one panel after another, five of them."""
    settings.WEAVING, settings.WEAVE_STEPS = True, 60
    studio = anna.studio
    studio.frozen_days = 0
    studio.save()
    with hold_changes():
        for title in ("Chest", "Cupboard"):
            surface = surface_of(piece_of(asked(studio, title, agreed=True)))
            for number in range(2):
                panel_of(surface, f"{title} {number}", left=2000 * number)
    problem = build_problem(studio, now=clock.now)
    rows = kept_rows(studio)
    old = plan_in(rows, problem)
    keep_plan(studio, problem, baselines(problem.problem).one_panel, rows=rows, old=old)
    return studio


def rows(studio) -> list[tuple]:
    return [(row.stage_id, row.coat, row.part, row.start) for row in planned_sittings(studio)]


def ends(studio):
    return max(row.end for row in planned_sittings(studio))


def woven(studio, clock, *, calm=True) -> Weaving:
    """Weave as the process does, and return how it went."""
    held, new = claim(studio, now=clock.now, calm=calm)
    assert new
    weave(studio, claim=held.claim, clock=lambda: clock.now)
    return Weaving.objects.get()


def instead(monkeypatch, act) -> None:
    """Have `act` happen while the search is at it."""
    real = at_loom.search

    def search(problem, **given):
        if "cancel" in given:
            act()
        return real(problem, **given)

    monkeypatch.setattr(at_loom, "search", search)


class TestWhatIsStored:
    def test_a_better_plan_is_stored_with_what_it_wins_and_told_as_the_last_change(
        self, studio, clock
    ):
        late = ends(studio)
        made = woven(studio, clock)
        assert (made.state, made.steps, made.cut_short) == (Weaving.State.DONE, 60, False)
        assert made.cost <= made.cost_before
        assert ends(studio) < late
        programme = Programme.objects.get()
        assert programme.woven == programme.work
        assert made.days_won is not None
        assert programme.causes[0] == f"It was woven anew: {won_words(made.days_won, 0)}."
        assert programme.moves

    def test_a_plan_that_moves_no_day_and_nothing_near_is_no_news(self, studio, clock, monkeypatch):
        monkeypatch.setattr(at_loom, "moves_between", lambda *plans, now: [])
        monkeypatch.setattr(at_loom, "days", lambda hours: 0.0)
        woven(studio, clock)
        causes = Programme.objects.get().causes
        assert not any("woven anew" in cause for cause in causes)
        assert won_words(0.0, 0.0) == "all are ready when they were"

    def test_work_that_is_again_what_was_woven_says_so(self, studio, clock, at_desk):
        woven(studio, clock)
        said = "is again what was woven then"
        assert said not in at_desk.get(reverse("programme")).content.decode()
        clock.now += timedelta(minutes=1)
        off = DayOff(studio=studio, first=date(2026, 11, 20), last=date(2026, 11, 20))
        keep_record(off)
        assert said not in at_desk.get(reverse("programme")).content.decode()
        remove_record(off)
        assert said in at_desk.get(reverse("programme")).content.decode()

    def test_where_nothing_better_is_found_the_plan_is_the_one_any_change_leads_to(
        self, studio, clock, settings
    ):
        settings.WEAVE_STEPS = 1
        with transaction.atomic():
            plan_studio(studio, now=clock.now)
            plan = rows(studio)
            transaction.set_rollback(True)
        assert woven(studio, clock).days_won is None
        assert rows(studio) == plan

    def test_days_that_come_free_are_taken_up_when_she_asks_and_not_before(self, studio, clock):
        woven(studio, clock)
        at_best = ends(studio)
        off = DayOff(studio=studio, first=date(2026, 11, 2), last=date(2026, 11, 6))
        keep_record(off)
        woven(studio, clock, calm=False)
        pushed = ends(studio)
        assert pushed > at_best
        remove_record(off)
        assert ends(studio) <= pushed
        woven(studio, clock, calm=False)
        assert ends(studio) <= at_best

    def test_the_same_work_is_woven_into_the_same_plan(self, studio, clock):
        plans = []
        for _ in range(2):
            with transaction.atomic():
                woven(studio, clock)
                plans.append(rows(studio))
                transaction.set_rollback(True)
        assert plans[0] == plans[1]

    def test_a_search_that_is_told_to_stop_keeps_its_best_and_says_it_was_cut_short(
        self, studio, clock, settings, at_desk
    ):
        settings.WEAVE_STEPS = 5000
        held, _ = claim(studio, now=clock.now)
        ask_to_stop(studio)
        weave(studio, claim=held.claim, clock=lambda: clock.now)
        stopped = Weaving.objects.get()
        assert (stopped.state, stopped.cut_short) == (Weaving.State.STOPPED, True)
        assert stopped.steps < 5000
        page = at_desk.get(reverse("programme")).content.decode()
        assert "cut short" in page
        assert "Weave on" in page

    def test_work_that_changed_meanwhile_is_planned_by_the_order_that_was_found(
        self, studio, clock, monkeypatch
    ):
        off = DayOff(studio=studio, first=date(2026, 11, 3), last=date(2026, 11, 6))

        def more_work_and_less_time() -> None:
            keep_record(off)
            agreed_panel(studio, "Newcomer")

        instead(monkeypatch, more_work_and_less_time)
        made = woven(studio, clock)
        assert made.state == Weaving.State.DONE
        planned = list(planned_sittings(studio))
        days = {row.start.date() for row in planned}
        assert not days & {date(2026, 11, day) for day in range(3, 7)}
        assert "Newcomer" in {row.stage.panel.name for row in planned}
        programme = Programme.objects.get()
        assert programme.woven == programme.work == made.work

    def test_a_search_overtaken_by_the_clock_stores_nothing_in_the_past(
        self, studio, clock, monkeypatch
    ):
        """An hour in which nobody began anything: what was found for it is planned later."""

        def an_hour() -> None:
            clock.now += 60 * MINUTE

        instead(monkeypatch, an_hour)
        assert woven(studio, clock).state == Weaving.State.DONE
        assert Programme.objects.get().made_at == clock.now
        assert all(row.start >= clock.now for row in planned_sittings(studio))

    def test_the_page_compares_without_reckoning_anew_once_it_is_woven(
        self, studio, clock, at_desk
    ):
        woven(studio, clock)
        page = at_desk.get(reverse("programme")).content.decode()
        assert "one panel after another" in page
        assert "programme-compared" not in page


class TestWhatIsLeftAlone:
    def test_a_plan_the_judge_objects_to_is_not_stored(self, studio, clock, monkeypatch, at_desk):
        before = rows(studio)
        monkeypatch.setattr(at_loom, "faults", lambda *given: ["two at once"])
        failed = woven(studio, clock)
        assert (failed.state, failed.words) == (Weaving.State.FAILED, FAULTY)
        assert rows(studio) == before
        assert FAULTY in at_desk.get(reverse("programme")).content.decode()

    def test_a_search_that_breaks_off_says_so_and_changes_nothing(self, studio, clock, monkeypatch):
        def breaks() -> None:
            raise RuntimeError("a fault of the search")

        before = rows(studio)
        instead(monkeypatch, breaks)
        failed = woven(studio, clock)
        assert (failed.state, failed.words) == (Weaving.State.FAILED, BROKE)
        assert rows(studio) == before

    def test_a_comparison_that_breaks_leaves_the_woven_plan_told_as_woven(
        self, studio, clock, monkeypatch
    ):
        monkeypatch.setattr(comparison, "baselines", None)
        late = ends(studio)
        assert woven(studio, clock).state == Weaving.State.DONE
        assert ends(studio) < late

    def test_what_another_process_took_over_is_neither_stored_nor_marked(
        self, studio, clock, monkeypatch
    ):
        before = rows(studio)

        def dies_and_is_begun_anew() -> None:
            clock.now += SILENCE
            assert claim(studio, now=clock.now)[1]

        instead(monkeypatch, dies_and_is_begun_anew)
        now = woven(studio, clock)
        assert now.state == Weaving.State.WAITING
        assert rows(studio) == before

    def test_a_claim_does_its_work_once(self, studio, clock, monkeypatch):
        made = woven(studio, clock)
        monkeypatch.setattr(at_loom, "search", None)
        weave(studio, claim=made.claim, clock=lambda: clock.now)
        assert Weaving.objects.get().state == Weaving.State.DONE


@pytest.fixture
def started(monkeypatch) -> list:
    """The processes that would have been started."""
    begun = []
    monkeypatch.setattr(at_loom, "start_process", lambda studio, row: begun.append(row.claim))
    return begun


class TestBeginning:
    def test_two_that_begin_at_once_start_one(
        self, studio, clock, started, django_capture_on_commit_callbacks
    ):
        with django_capture_on_commit_callbacks(execute=True):
            one = begin(studio, now=clock.now)
            other = begin(studio, now=clock.now)
        assert started == [one.claim] == [other.claim]

    def test_a_process_that_fell_silent_is_told_as_dead_and_can_be_begun_again(
        self, studio, clock, started, at_desk, django_capture_on_commit_callbacks
    ):
        held, _ = claim(studio, now=clock.now)
        page = at_desk.get(reverse("programme")).content.decode()
        assert "Stop here" in page
        clock.now += SILENCE
        page = at_desk.get(reverse("programme")).content.decode()
        assert "taken for dead" in page
        assert "Stop here" not in page
        with django_capture_on_commit_callbacks(execute=True):
            at_desk.post(reverse("weave-begin"))
        assert started == [Weaving.objects.get().claim]
        assert started != [held.claim]

    def test_it_weaves_by_itself_once_the_work_was_quiet_for_a_minute_and_then_no_more(
        self, studio, clock, started, django_capture_on_commit_callbacks
    ):
        with django_capture_on_commit_callbacks(execute=True):
            work_once()
            assert started == []
            clock.now += QUIET
            work_once()
        (held,) = started
        weave(studio, claim=held, clock=lambda: clock.now)
        assert not wants_weaving(Programme.objects.get(), now=clock.now + DAY)
        Commission.objects.filter(title="Chest").update(wanted=date(2026, 12, 1))
        clock.now += MINUTE
        programme = plan_studio(studio, now=clock.now)
        assert not wants_weaving(programme, now=clock.now)
        assert wants_weaving(programme, now=clock.now + QUIET)

    def test_work_on_which_it_died_is_not_tried_again_by_itself(self, studio, clock):
        claim(studio, now=clock.now)
        programme = plan_studio(studio, now=clock.now + DAY)
        clock.now += DAY + QUIET
        Weaving.objects.update(work=programme.work)
        assert not wants_weaving(programme, now=clock.now)

    def test_a_machine_that_lets_no_process_begin_says_so(self, studio, clock, monkeypatch):
        def no_room(*args, **kwargs):
            raise OSError("no room")

        monkeypatch.setattr(at_loom.subprocess, "Popen", no_room)
        held, _ = claim(studio, now=clock.now)
        at_loom.start_process(studio, held)
        assert Weaving.objects.get().words == at_loom.NOT_BEGUN

    def test_the_command_weaves_by_hand_and_says_what_it_won(self, studio, clock, capsys):
        call_command("weave", studio.slug)
        assert "60 plans made: " in capsys.readouterr().out
        with pytest.raises(CommandError, match="no studio nowhere"):
            call_command("weave", "nowhere")
        claim(studio, now=clock.now)
        with pytest.raises(CommandError, match="already"):
            call_command("weave", studio.slug)


class TestWhereItIsSwitchedOff:
    @pytest.fixture(autouse=True)
    def off(self, settings, studio):
        settings.WEAVING = False

    def test_nothing_is_claimed_so_that_nothing_is_taken_for_dead(self, studio, clock, at_desk):
        clock.now += QUIET
        work_once()
        at_desk.post(reverse("weave-begin"))
        assert not Weaving.objects.exists()
        clock.now += SILENCE
        page = at_desk.get(reverse("programme")).content.decode()
        assert "Weaving is switched off here." in page
        assert "by itself" not in page
        assert reverse("weave-begin") not in page
        assert not wants_weaving(Programme.objects.get(), now=clock.now + DAY)

    def test_the_command_weaves_at_once_all_the_same(self, studio, clock, at_desk, capsys):
        at_desk.post(reverse("weave-begin"))
        call_command("weave", studio.slug)
        assert Weaving.objects.get().state == Weaving.State.DONE


class TestTheStrip:
    def test_it_asks_again_while_the_search_goes_on_and_brings_the_programme_at_the_end(
        self, studio, clock, at_desk
    ):
        htmx = {"HX-Request": "true"}
        path = reverse("programme-weaving") + "?was=alive"
        held, _ = claim(studio, now=clock.now)
        Weaving.objects.update(allowed=60, steps=30, cost_before=200, cost=150)
        answer = at_desk.get(path, headers=htmx)
        assert "30 of 60 plans tried" in answer.content.decode()
        assert "25 % better" in answer.content.decode()
        assert "every 1500ms" in answer.content.decode()
        assert "HX-Retarget" not in answer
        at_desk.post(reverse("weave-stop"), headers=htmx)
        assert "Stopping" in at_desk.get(path, headers=htmx).content.decode()
        weave(studio, claim=held.claim, clock=lambda: clock.now)
        answer = at_desk.get(path, headers=htmx)
        assert answer["HX-Retarget"] == "#programme"
        assert 'id="agenda-head"' in answer.content.decode()
        assert "every 1500ms" not in answer.content.decode()

    def test_without_script_the_buttons_lead_back_to_the_programme(self, studio, at_desk):
        for name in ("weave-begin", "weave-stop"):
            assert at_desk.post(reverse(name)).url == reverse("programme")
        assert at_desk.get(reverse("programme-weaving")).url == reverse("programme")

    def test_an_empty_studio_has_nothing_to_weave(self, at_desk, anna):
        assert 'id="weaving"' not in at_desk.get(reverse("programme")).content.decode()
