"""Reminders: written with their cause, sent when the gate opens, told once, never lost."""

from datetime import timedelta
from itertools import pairwise

import pytest
from django.core import mail
from django.core.mail import EmailMessage
from django.core.management import call_command
from django.db import IntegrityError, transaction
from django.urls import reverse

from jobs.domain.work import start_sitting
from jobs.models import Panel
from schedule.domain.programme import plan_studio
from schedule.domain.reminders import (
    LEASE,
    MOST_TRIES,
    message_id,
    send_due,
    take,
    try_again,
)
from schedule.models import Reminder
from studio.models import Studio
from tests.cast import painted

SECOND, MINUTE, HOUR = timedelta(seconds=1), timedelta(minutes=1), timedelta(hours=1)
State = Reminder.State


def state_of(reminder: Reminder) -> str:
    reminder.refresh_from_db()
    return reminder.state


class TestWritten:
    def test_a_finished_coat_writes_one_reminder_for_when_its_gate_opens(self, gesso, anna):
        row = Reminder.objects.get()
        gate = anna.studio.planned_gates.get(stage=gesso, coat=1)
        assert (row.state, row.due, row.coat) == (State.WAITING, gate.opens, 1)

    def test_a_coat_not_finished_writes_none(self, panel, anna, clock):
        start_sitting(panel.stages.first(), person=anna, at=clock.now)
        assert not Reminder.objects.exists()

    def test_a_coat_rolled_back_leaves_none(self, panel, anna, clock):
        @transaction.atomic
        def paint_and_fail() -> None:
            painted(panel.stages.first(), by=anna, end=clock.now)
            assert Reminder.objects.exists()
            raise ZeroDivisionError

        with pytest.raises(ZeroDivisionError):
            paint_and_fail()
        assert not Reminder.objects.exists()

    def test_planning_again_writes_no_other(self, waiting, anna, clock):
        for minutes in (0, 1, 20):
            plan_studio(anna.studio, now=clock.now + minutes * MINUTE)
        assert list(Reminder.objects.values()) == list(
            Reminder.objects.filter(pk=waiting.pk, due=waiting.due, state="waiting").values()
        )

    def test_the_database_itself_keeps_one_row_a_fact(self, waiting):
        with pytest.raises(IntegrityError), transaction.atomic():
            Reminder.objects.create(
                studio=waiting.studio, key=waiting.key, stage=waiting.stage, coat=1, due=waiting.due
            )

    def test_a_colder_room_moves_it(self, waiting, anna, clock):
        Studio.objects.filter(pk=anna.studio.pk).update(room_temperature=10)
        plan_studio(Studio.objects.get(), now=clock.now)
        before = waiting.due
        assert state_of(waiting) == State.WAITING
        assert waiting.due > before


class TestSent:
    def test_nothing_goes_before_the_gate_opens(self, waiting):
        assert send_due(now=waiting.due - SECOND) == 0
        assert mail.outbox == []

    def test_at_night_it_waits_until_people_are_up(self, waiting, anna):
        Studio.objects.update(time_zone="Europe/Rome")
        night = waiting.due.replace(hour=1, minute=20)  # 02:20 in Rome in winter
        seven = night.replace(hour=6, minute=0, second=0, microsecond=0)
        Reminder.objects.update(due=night)
        assert send_due(now=night) == 0
        assert mail.outbox == []
        assert send_due(now=seven - SECOND) == 0
        assert send_due(now=seven) == 1
        waiting.refresh_from_db()
        assert waiting.due == night, "the bench and the calendar keep the hour"

    def test_it_goes_to_everyone_of_the_studio_when_the_gate_opens(self, waiting, anna, berit):
        assert send_due(now=waiting.due) == 1
        (told,) = mail.outbox
        assert sorted(told.to) == [anna.email, berit.email]
        assert "Lid: Plait" in told.subject
        assert "Prime, coat 1 of 2" in told.body
        assert "finger" in told.body
        assert reverse("panel", args=[waiting.stage.panel_id]) in told.body
        assert told.message()["Message-ID"] == message_id(waiting.key)
        assert state_of(waiting) == State.SENT
        assert waiting.sent_at == waiting.due

    def test_it_goes_once(self, waiting):
        assert [send_due(now=waiting.due + n * HOUR) for n in range(3)] == [1, 0, 0]
        assert len(mail.outbox) == 1

    @pytest.mark.parametrize("planned_late", [SECOND, 20 * MINUTE, 12 * HOUR])
    def test_a_plan_made_after_the_gate_opened_does_not_lose_it(self, planned_late, waiting, anna):
        """The worker slept, or another tap re-planned, before the mail had gone."""
        plan_studio(anna.studio, now=waiting.due + planned_late)
        assert state_of(waiting) == State.WAITING
        assert send_due(now=waiting.due + planned_late) == 1

    def test_the_command_looks_once_and_says_how_many(self, second, waiting, clock, capsys):
        clock.now = second.due + HOUR
        call_command("remind", "--once")
        assert capsys.readouterr().out.strip() == "2 reminders sent."
        call_command("remind", "--once")
        assert capsys.readouterr().out.strip() == "0 reminders sent."

    def test_the_bench_shows_that_she_was_told(self, at_desk, waiting, clock):
        clock.now = waiting.due + MINUTE
        call_command("remind", "--once", verbosity=0)
        assert "told by email" in at_desk.get(reverse("bench")).content.decode()

    @pytest.mark.parametrize("name", ["Wreath & 'Finch' <left>", "Żaneta 金 🎨", "two\nlines"])
    def test_names_are_told_as_they_were_typed(self, name, waiting):
        Panel.objects.filter(pk=waiting.stage.panel_id).update(name=name)
        assert send_due(now=waiting.due) == 1
        (told,) = mail.outbox
        assert name in told.body
        assert told.message()["Subject"].startswith("Lid: " + " ".join(name.split()))

    def test_somebody_who_may_not_sign_in_is_not_told(self, waiting, anna, berit):
        berit.is_active = False
        berit.save()
        send_due(now=waiting.due)
        assert mail.outbox[0].to == [anna.email]


class TestTaken:
    def test_two_senders_never_hold_one(self, waiting):
        assert take(waiting.key, now=waiting.due) == waiting
        assert take(waiting.key, now=waiting.due) is None
        assert send_due(now=waiting.due) == 0

    def test_a_lease_runs_out(self, waiting):
        take(waiting.key, now=waiting.due)
        assert take(waiting.key, now=waiting.due + LEASE - SECOND) is None
        assert take(waiting.key, now=waiting.due + LEASE + SECOND) == waiting

    def test_a_slow_sender_does_not_overwrite_what_the_next_one_did(self, waiting, monkeypatch):
        """The first sender hangs longer than its lease; the second takes the row and sends."""
        real = EmailMessage.send

        def hang(message, *args, **kwargs):
            monkeypatch.setattr(EmailMessage, "send", real)
            assert send_due(now=waiting.due + LEASE + SECOND) == 1
            raise TimeoutError

        monkeypatch.setattr(EmailMessage, "send", hang)
        send_due(now=waiting.due)
        assert state_of(waiting) == State.SENT
        assert waiting.tries == 0

    def test_a_sender_that_breaks_down_at_a_row_goes_on_with_the_others(
        self, waiting, second, monkeypatch
    ):
        from schedule.domain import reminders

        real = reminders.next_stage

        def broken(panel):
            if panel.name == "Plait":
                raise RuntimeError("a bug")
            return real(panel)

        monkeypatch.setattr(reminders, "next_stage", broken)
        assert send_due(now=second.due + HOUR) == 1
        assert state_of(waiting) == State.WAITING
        assert state_of(second) == State.SENT


class TestUndelivered:
    def test_one_that_fails_does_not_hold_the_others(self, waiting, second, dead_server):
        dead_server["word"] = "Plait"
        assert send_due(now=second.due + HOUR) == 1
        assert (state_of(waiting), state_of(second)) == (State.WAITING, State.SENT)
        assert "ConnectionRefusedError" in waiting.last_error

    def test_it_is_tried_again_at_growing_intervals_and_then_given_up(self, waiting, dead_server):
        now, tried = waiting.due, []
        end = now + 3 * HOUR
        while now < end:
            before = waiting.tries
            send_due(now=now)
            waiting.refresh_from_db()
            if waiting.tries > before:
                tried.append(now)
            now += MINUTE
        waits = [(b - a) / MINUTE for a, b in pairwise(tried)]
        assert waits == [2, 4, 8, 16, 32]
        assert (waiting.state, len(tried)) == (State.FAILED, MOST_TRIES)

    def test_a_server_that_comes_back_gets_it(self, waiting, dead_server):
        send_due(now=waiting.due)
        dead_server["word"] = "nothing at all"
        assert send_due(now=waiting.due + MINUTE) == 0
        assert send_due(now=waiting.due + 3 * MINUTE) == 1
        assert state_of(waiting) == State.SENT
        assert waiting.last_error == ""

    @pytest.fixture
    def given_up(self, waiting, dead_server) -> Reminder:
        for tried in range(MOST_TRIES):
            send_due(now=waiting.due + tried * HOUR)
        dead_server["word"] = "nothing at all"
        waiting.refresh_from_db()
        assert waiting.state == State.FAILED
        return waiting

    def test_what_was_given_up_is_shown_on_the_bench_with_its_reason(
        self, at_desk, given_up, clock
    ):
        clock.now = given_up.due + 6 * HOUR
        assert "1 reminder could not be delivered" in at_desk.get(reverse("bench")).content.decode()
        page = at_desk.get(reverse("reminders")).content.decode()
        assert "nobody answers" in page
        assert reverse("reminder-again", args=[given_up.pk]) in page

    def test_try_again_puts_it_back_in_line(self, at_desk, given_up, clock):
        clock.now = given_up.due + 6 * HOUR
        at_desk.post(reverse("reminder-again", args=[given_up.pk]))
        assert send_due(now=clock.now) == 1
        assert state_of(given_up) == State.SENT

    def test_trying_again_leaves_alone_what_went_out(self, waiting):
        send_due(now=waiting.due)
        try_again(waiting)
        assert state_of(waiting) == State.SENT
        assert send_due(now=waiting.due + HOUR) == 0

    def test_it_is_no_longer_shown_when_the_next_coat_lies_on_it(
        self, at_desk, given_up, gesso, anna, clock
    ):
        clock.now = given_up.due + 6 * HOUR
        painted(gesso, by=anna, end=clock.now)
        assert "could not be delivered" not in at_desk.get(reverse("bench")).content.decode()
