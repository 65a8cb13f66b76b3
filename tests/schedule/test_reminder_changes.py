"""Reminders of what changed: moved, withdrawn, revived, or with nobody to tell."""

from datetime import timedelta

import pytest
from django.core import mail
from django.urls import reverse

from jobs.domain.commissions import decline_commission, hand_over, reopen_commission
from jobs.domain.work import record_touch_test
from jobs.models import Commission, Panel, Sitting
from schedule.domain.programme import plan_studio
from schedule.domain.reminders import ASK_AGAIN, MOST_TRIES, STILL_NEWS, send_due, take
from schedule.models import Reminder
from studio.domain.records import remove_record
from studio.models import Person
from tests.cast import agreed_panel, painted

MINUTE, HOUR = timedelta(minutes=1), timedelta(hours=1)
State = Reminder.State


def state_of(reminder: Reminder) -> str:
    reminder.refresh_from_db()
    return reminder.state


class TestMoved:
    def test_a_coat_found_tacky_before_it_was_due_is_told_of_later(
        self, waiting, gesso, anna, clock
    ):
        at = waiting.due - MINUTE
        record_touch_test(gesso, coat=1, result="tacky", by=anna, at=at)
        plan_studio(anna.studio, now=at)
        assert state_of(waiting) == State.WITHDRAWN
        moved = Reminder.objects.get(state=State.WAITING)
        assert moved.due > waiting.due
        assert send_due(now=waiting.due) == 0
        assert send_due(now=moved.due) == 1

    def test_a_coat_found_tacky_after_she_was_told_is_told_of_again(
        self, waiting, gesso, anna, clock
    ):
        send_due(now=waiting.due)
        clock.now = waiting.due + HOUR
        record_touch_test(gesso, coat=1, result="tacky", by=anna, at=clock.now)
        again = Reminder.objects.get(state=State.WAITING)
        assert again.due > clock.now
        assert send_due(now=again.due) == 1
        one, two = (told.message()["Message-ID"] for told in mail.outbox)
        assert one != two

    def test_a_coat_found_dry_is_not_told_of_any_more(self, waiting, gesso, anna, clock):
        clock.now += 10 * MINUTE
        record_touch_test(gesso, coat=1, result="touch-dry", by=anna, at=clock.now)
        assert send_due(now=waiting.due + HOUR) == 0
        assert state_of(waiting) == State.WITHDRAWN

    def test_a_coat_taken_out_of_the_log_is_not_told_of(self, waiting, gesso):
        remove_record(gesso.sittings.get())
        assert send_due(now=waiting.due) == 0
        assert state_of(waiting) == State.WITHDRAWN

    def test_a_panel_removed_takes_its_reminder_along(self, waiting, second, panel):
        Sitting.objects.filter(stage__panel=panel).delete()
        Panel.objects.filter(pk=panel.pk).delete()
        assert send_due(now=second.due + HOUR) == 1
        assert "Finch" in mail.outbox[0].subject

    def test_a_commission_handed_over_is_not_told_of(self, anna, clock):
        steps = (("varnish", "acrylic-varnish", 1, "touch-dry"),)
        panel = agreed_panel(anna.studio, steps=steps)
        painted(panel.stages.get(), by=anna, end=clock.now)
        row = Reminder.objects.get()
        hand_over(Commission.objects.get(), at=clock.now)
        assert state_of(row) == State.WITHDRAWN
        assert send_due(now=row.due) == 0

    def test_a_fact_that_changed_unseen_is_found_out_before_sending(self, waiting):
        Commission.objects.update(state="delivered")
        assert send_due(now=waiting.due) == 0
        assert state_of(waiting) == State.WITHDRAWN


class TestRevived:
    def test_one_withdrawn_comes_back_as_if_nothing_had_been_tried(
        self, waiting, dead_server, anna, clock
    ):
        """Called off while the mail server was away, and taken up again at once."""
        for tried in range(MOST_TRIES - 1):
            send_due(now=waiting.due + tried * HOUR)
        now = clock.now = waiting.due + MOST_TRIES * HOUR
        take(waiting.key, now=now)
        decline_commission(Commission.objects.get())
        assert state_of(waiting) == State.WITHDRAWN
        reopen_commission(Commission.objects.get())
        assert state_of(waiting) == State.WAITING
        assert (waiting.tries, waiting.last_error) == (0, "")
        assert (waiting.claim, waiting.claimed_until, waiting.not_before) == (None, None, None)
        dead_server["word"] = "nothing at all"
        assert send_due(now=now) == 1

    def test_one_withdrawn_long_ago_is_history(self, waiting, anna, clock):
        decline_commission(Commission.objects.get())
        clock.now = waiting.due + STILL_NEWS + MINUTE
        reopen_commission(Commission.objects.get())
        assert state_of(waiting) == State.WITHDRAWN

    def test_a_coat_found_dry_by_mistake_is_told_of_again(self, waiting, gesso, anna, clock):
        clock.now += 10 * MINUTE
        test = record_touch_test(gesso, coat=1, result="touch-dry", by=anna, at=clock.now)
        assert state_of(waiting) == State.WITHDRAWN
        remove_record(test)
        assert state_of(waiting) == State.WAITING
        assert send_due(now=waiting.due) == 1


class TestNobodyToTell:
    @pytest.fixture
    def away(self, waiting, anna, berit) -> Reminder:
        """The reminder came due while nobody of the studio might sign in."""
        anna.studio.people.update(is_active=False)
        assert send_due(now=waiting.due) == 0
        return waiting

    def test_it_waits_and_says_why(self, away, anna, at_desk):
        assert mail.outbox == []
        assert (state_of(away), away.sent_at, away.tries) == (State.WAITING, None, 0)
        anna.studio.people.update(is_active=True)
        page = at_desk.get(reverse("reminders")).content.decode()
        assert "there is nobody to tell" in page

    def test_it_is_never_given_up_for_that(self, away):
        for hours in range(2 * MOST_TRIES):
            assert send_due(now=away.due + hours * HOUR) == 0
        assert state_of(away) == State.WAITING

    def test_it_goes_to_whoever_comes_back(self, away, berit):
        Person.objects.filter(pk=berit.pk).update(is_active=True)
        assert send_due(now=away.due + ASK_AGAIN) == 1
        assert mail.outbox[0].to == [berit.email]
        assert state_of(away) == State.SENT
        assert away.last_error == ""

    def test_the_other_studios_are_told_all_the_same(self, away, stranger, clock):
        other = agreed_panel(stranger.studio).stages.first()
        painted(other, by=stranger, end=clock.now)
        row = Reminder.objects.get(studio=stranger.studio)
        assert send_due(now=row.due) == 1
        assert mail.outbox[0].to == [stranger.email]
