"""What if: one question tried on a copy, answered in days and money."""

from dataclasses import replace
from datetime import date, time

import pytest
from django.urls import reverse

from jobs.domain.guesses import Guess
from jobs.labour.stages import MOST_COATS
from jobs.models import Commission, Panel, Stage
from quotes.domain.pricing import price_commission
from quotes.domain.questions import AnotherPerson, OneMore, OtherGround, Overtime, WarmerRoom
from quotes.domain.what_if import Answer
from schedule.domain import scratch
from schedule.domain.programme import plan_studio
from schedule.models import Reminder
from studio.domain.records import keep_record
from studio.models import DayOff
from studio.refusal import Refused
from studio.signals import hold_changes
from tests.cast import agreed_panel
from tests.quotes.what_if.questions_asked import (
    DAY,
    MONDAY,
    QUESTIONS,
    everything,
    ground_laid,
    grounds_of,
    question_of,
    told,
)


def ready(effect) -> tuple[date, date]:
    return effect.before.ready, effect.after.ready


def saved(found: Answer) -> int:
    """Return by how many days all are ready sooner together."""
    return -sum(effect.later or 0 for effect in found.effects)


class TestNothingStays:
    @pytest.mark.parametrize("key", QUESTIONS)
    def test_a_question_leaves_no_row_no_file_and_no_word(
        self, key, at_desk, studio, panel, enquiry, clock, tmp_path, mailoutbox
    ):
        plan_studio(studio, now=clock.now)
        feed = reverse("feed", args=[studio.feed_secret])
        before, shown = everything(tmp_path), at_desk.get(feed).content
        told(question_of(key, panel, enquiry), studio, clock)
        assert everything(tmp_path) == before
        assert at_desk.get(feed).content == shown
        assert (Reminder.objects.count(), mailoutbox) == (0, [])

    @pytest.mark.parametrize("key", QUESTIONS)
    def test_planning_it_asks_the_database_for_nothing_so_nobody_waits(
        self, key, studio, panel, enquiry, clock, django_assert_num_queries
    ):
        ground_laid(panel, studio)
        fresh = Panel.objects.for_bench().get(pk=panel.pk)
        question = question_of(key, fresh, enquiry)
        tried = scratch.as_it_would_be(studio, question.change, now=clock.now)
        with django_assert_num_queries(0):
            scratch.foretell(replace(tried, doubt=scratch.doubt_of(tried.asked)))

    def test_a_rough_size_without_an_enquiry_leaves_no_client(self, studio, sheet, clock, tmp_path):
        before = everything(tmp_path)
        told(OneMore(None, Guess(sheet, 3, 3000, 4000)), studio, clock)
        assert everything(tmp_path) == before

    def test_what_was_asked_does_not_change_what_is_held_in_hand(self, studio, clock):
        told(WarmerRoom(26), studio, clock)
        assert studio.room_temperature == 19

    def test_a_question_refused_halfway_leaves_nothing(
        self, studio, panel, enquiry, clock, tmp_path
    ):
        Stage.objects.filter(panel=panel, kind="ground-colour").update(coats=MOST_COATS)
        ground_laid(panel, studio)
        before = everything(tmp_path)
        question = question_of("ground", Panel.objects.for_bench().get(pk=panel.pk), enquiry)
        with pytest.raises(Refused, match="too many for one stage"):
            told(question, studio, clock)
        assert everything(tmp_path) == before


class TestAnswers:
    def test_a_warmer_room_is_ready_sooner_and_a_colder_later(self, studio, clock):
        warm, cold = (told(WarmerRoom(degrees), studio, clock) for degrees in (30, 8))
        assert saved(warm) > 0 > saved(cold)
        assert warm.cost.amount is None

    def test_one_more_commission_stands_among_the_others_with_its_price(
        self, studio, enquiry, clock
    ):
        found = told(OneMore(enquiry), studio, clock)
        (new,) = (effect for effect in found.effects if effect.before is None)
        assert (new.commission, len(found.effects)) == (enquiry, 3)
        assert found.cost.amount == price_commission(enquiry).costing.net > 0
        assert found.cost.earned

    def test_a_rough_size_of_nobody_is_planned_and_priced_too(self, studio, sheet, clock):
        few, many = (
            told(OneMore(None, Guess(sheet, panels, 6000, 5000)), studio, clock)
            for panels in (1, 6)
        )
        assert 0 < few.cost.amount < many.cost.amount
        new = [next(e for e in one.effects if e.before is None).after for one in (few, many)]
        assert new[0].likely < new[1].likely

    def test_another_ground_costs_its_coats_and_their_drying(self, studio, panel, enquiry, clock):
        ground_laid(panel, studio)
        fresh = Panel.objects.for_bench().get(pk=panel.pk)
        linen = next(one for one in grounds_of(fresh) if one.colour == "#d9cdb9")
        question = OtherGround(fresh, linen)
        late, _ = question.reckoned(fresh)
        found = told(question, studio, clock)
        assert found.cost.amount == late.money > 0
        mine = next(one for one in found.effects if one.commission == fresh.commission)
        before, after = ready(mine)
        assert after > before

    def test_another_person_is_paid_for_what_she_is_planned_to_do(self, studio, clock):
        with hold_changes():
            for name in ("Wren", "Jay", "Rook"):
                agreed_panel(studio, name, width=6000, height=5000)
        found, dearer = (
            told(AnotherPerson(MONDAY, MONDAY + 18 * DAY, rate), studio, clock)
            for rate in (2000, 4000)
        )
        assert saved(found) > 0
        assert 0 < found.cost.amount < 19 * 8 * 2000
        assert dearer.cost.amount == 2 * found.cost.amount

    def test_whoever_leaves_early_leaves_no_day_unknown(self, studio, clock):
        found = told(AnotherPerson(MONDAY, MONDAY, 2000), studio, clock)
        assert all(effect.after.surely for effect in found.effects)

    def test_overtime_is_paid_by_the_hour_on_days_she_works(self, studio, clock):
        evenings = Overtime(MONDAY, MONDAY + 6 * DAY, time(18), time(20), 3000)
        worked = {row.weekday for row in studio.windows.all()}
        found = told(evenings, studio, clock)
        assert found.cost.amount == len(worked) * 2 * 3000
        assert saved(found) >= 0

    def test_hours_she_works_anyway_cost_nothing(self, studio, clock):
        window = studio.windows.first()
        day = next(
            MONDAY + n * DAY for n in range(7) if (MONDAY + n * DAY).weekday() == window.weekday
        )
        found = told(Overtime(day, day, window.start, window.end, 3000), studio, clock)
        assert (found.cost.amount, found.moved) == (0, [])

    def test_days_off_are_left_out_of_overtime(self, studio):
        keep_record(DayOff(studio=studio, first=MONDAY, last=MONDAY + DAY))
        asked_for = Overtime(MONDAY, MONDAY + 6 * DAY, time(18), time(20), 0, every=True)
        assert asked_for.days(studio) == [MONDAY + n * DAY for n in range(2, 7)]

    def test_without_agreed_work_nothing_moves(self, anna, clock):
        found = told(WarmerRoom(26), anna.studio, clock)
        assert (found.effects, found.troubles) == ((), ())

    def test_who_turns_late_and_who_comes_in_time_is_told(self, studio, clock):
        first = Commission.objects.order_by("number").first()
        slow, quick = (told(WarmerRoom(degrees), studio, clock) for degrees in (8, 30))
        days = [next(e for e in one.effects if e.commission == first) for one in (slow, quick)]
        first.wanted = days[1].after.ready
        keep_record(first)
        assert told(WarmerRoom(30), studio, clock).in_time == [first]
        first.wanted = days[0].before.ready
        keep_record(first)
        assert told(WarmerRoom(8), studio, clock).late == [first]
