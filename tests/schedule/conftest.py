"""A coat of gesso that dries, its reminder, and a mail server that may be away."""

from datetime import timedelta

import pytest
from django.core.mail import EmailMessage

from jobs.models import Panel
from schedule.models import Reminder
from tests.cast import agreed_panel, painted, panel_of

MINUTE = timedelta(minutes=1)


@pytest.fixture
def panel(clock, anna) -> Panel:
    return agreed_panel(anna.studio)


@pytest.fixture
def gesso(panel, anna, clock):
    """The first stage, its first coat painted just now."""
    stage = panel.stages.first()
    painted(stage, by=anna, end=clock.now)
    return stage


@pytest.fixture
def waiting(gesso) -> Reminder:
    return Reminder.objects.get()


@pytest.fixture
def second(waiting, panel, anna, clock) -> Reminder:
    """Another panel's reminder, due a little later."""
    finch = panel_of(panel.surface, "Finch", left=2000)
    painted(finch.stages.first(), by=anna, end=clock.now + MINUTE)
    return Reminder.objects.exclude(pk=waiting.pk).get()


@pytest.fixture
def dead_server(monkeypatch):
    """A mail server that refuses the mails whose subject holds a word."""
    real, refused = EmailMessage.send, {"word": ""}

    def send(message, *args, **kwargs):
        if refused["word"] in message.subject:
            raise ConnectionRefusedError("nobody answers")
        return real(message, *args, **kwargs)

    monkeypatch.setattr(EmailMessage, "send", send)
    return refused
