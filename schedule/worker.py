"""The worker: sends what is due, keeps programmes fresh, has them woven, and stops when asked."""

import logging
from datetime import timedelta
from threading import Event

from django.db import close_old_connections
from django.utils import timezone

from schedule.domain.afterwards import reckon_what_tells_more
from schedule.domain.programme import fresh_programme
from schedule.domain.reminders import send_due
from schedule.domain.weaving import begin, wants_weaving
from studio.models import Once, Studio

log = logging.getLogger(__name__)

PAUSE = 20
"""Seconds between two looks."""
KEEP_ANSWERS = timedelta(days=7)
"""How long a form already answered is remembered; no one clicks twice after that."""


def work_once() -> int:
    """Make stale programmes anew and send every due reminder; return how many were sent.

    A programme that changed, and was left alone since, is woven by a process of its own.

    One studio that fails does not keep the others from being served.
    """
    now, made = timezone.now(), []
    for studio in Studio.objects.all():
        try:
            programme = fresh_programme(studio, now=now)
            made.append(programme)
            if wants_weaving(programme, now=now):
                begin(studio, now=now)
        except Exception:
            log.exception("The programme of studio %s could not be made", studio.slug)
    Once.objects.filter(at__lt=now - KEEP_ANSWERS).delete()
    sent = send_due(now=now, clock=timezone.now)
    # Last: it takes seconds where there is much work, and a coat that is dry does not wait for it.
    for programme in made:
        reckon_what_tells_more(programme)
    return sent


def work_until(stop: Event) -> None:
    """Look again and again until `stop` is set; the work in hand is finished first."""
    while not stop.is_set():
        close_old_connections()
        try:
            work_once()
        except Exception:
            # A database that is away for a moment must not end the worker.
            log.exception("The reminder worker goes on after an error")
        stop.wait(PAUSE)
    close_old_connections()
