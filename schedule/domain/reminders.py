"""Reminders: written with what causes them, sent at least once, harmless when sent twice."""

import logging
from collections.abc import Callable, Iterable
from datetime import datetime, timedelta
from uuid import uuid4

from django.conf import settings
from django.core.mail import EmailMessage
from django.db import transaction
from django.db.models import Q
from django.template.loader import render_to_string

from jobs.domain.gates import Opening, current_gate, next_stage
from jobs.models import Panel
from schedule.models import Reminder
from studio.models import Studio

log = logging.getLogger(__name__)

LEASE = timedelta(minutes=10)
"""Well above the mail server's time-out of 30 s, so that no one else takes a row being sent."""
MOST_TRIES = 6
STILL_NEWS = timedelta(days=1)
"""A coat logged afterwards is told of only where it came dry within this; older is history."""
NOBODY = "Nobody of the studio may sign in, so there is nobody to tell."
ASK_AGAIN = timedelta(minutes=15)
"""How soon a studio with nobody to tell is looked at again."""
IN_LINE = {
    "state": Reminder.State.WAITING,
    "tries": 0,
    "not_before": None,
    "claim": None,
    "claimed_until": None,
    "last_error": "",
}
"""A reminder as it stands when it is first written: nobody holds it, nothing was tried."""


def set_reminders(studio: Studio, gates: Iterable[Opening], *, now: datetime) -> None:
    """Write one waiting reminder for each gate the record has, and withdraw those it has no more.

    `gates` are the current gates of all panels in hand, closed or open: a row that came due and
    is not sent yet stays, whoever plans in between. The key holds the coat and the touch test
    that moved it last, so planning twice writes one row, and a coat found tacky after its
    reminder went out gets another.
    """
    told = {reminder_key(gate): gate for gate in gates if not gate.by_touch}
    unsent = Reminder.objects.of(studio).filter(state__in=Reminder.UNSENT)
    unsent.exclude(key__in=told).update(state=Reminder.State.WITHDRAWN)
    known = {row.key: row for row in Reminder.objects.of(studio).filter(key__in=told)}
    new = []
    for key, gate in told.items():
        row = known.get(key)
        news = gate.opens > now - STILL_NEWS
        if row is None and news:
            new.append(
                Reminder(studio=studio, key=key, stage=gate.stage, coat=gate.coat, due=gate.opens)
            )
        elif row and row.state == Reminder.State.WITHDRAWN and news:
            Reminder.objects.filter(pk=row.pk).update(due=gate.opens, **IN_LINE)
        elif row and row.state == Reminder.State.WAITING and row.due != gate.opens:
            row.due = gate.opens
            row.save(update_fields=["due"])
    Reminder.objects.bulk_create(new)


def reminder_key(opening: Opening) -> str:
    """Return the key of a fact: the coat, when it was finished, and the finger that moved it."""
    test = opening.moved_by
    moved = f"{test.result}-{test.at:%Y%m%dT%H%M%S}" if test else "untouched"
    return f"dry:{opening.stage.pk}:{opening.coat}:{opening.since:%Y%m%dT%H%M%S}:{moved}"


def send_due(*, now: datetime, clock: Callable[[], datetime] | None = None) -> int:
    """Send every reminder due by `now`, one after another; return how many went out.

    A row is taken by a conditional update, so two senders never hold one; a sender that dies
    leaves a lease that runs out. What fails is tried again later, and shown when given up.
    """
    sent = 0
    for key in _due(now).values_list("key", flat=True):
        row = take(key, now=clock() if clock else now)
        if row and _send(row, now=clock() if clock else now):
            sent += 1
    return sent


def _due(now: datetime):
    free = Q(claimed_until=None) | Q(claimed_until__lt=now)
    ripe = Q(not_before=None) | Q(not_before__lte=now)
    return Reminder.objects.filter(free, ripe, state=Reminder.State.WAITING, due__lte=now)


def take(key: str, *, now: datetime) -> Reminder | None:
    """Take a due reminder under a lease; None where another sender was first."""
    claim = uuid4()
    taken = _due(now).filter(key=key).update(claim=claim, claimed_until=now + LEASE)
    if not taken:
        return None
    rows = Reminder.objects.select_related("stage__panel__surface", "studio")
    return rows.filter(key=key, claim=claim).first()


def _send(row: Reminder, *, now: datetime) -> bool:
    """Send one taken reminder, unless the fact it tells of is no longer so."""
    mine = Reminder.objects.filter(pk=row.pk, claim=row.claim)
    try:
        opening = _still_so(row)
        if opening is None:
            mine.update(state=Reminder.State.WITHDRAWN)
            return False
        if row.goes_out > now:
            mine.update(not_before=row.goes_out, claimed_until=None)
            return False
        to = [person.email for person in row.studio.people.all() if person.is_active]
        if not to:
            mine.update(last_error=NOBODY, not_before=now + ASK_AGAIN, claimed_until=None)
            return False
        _message(row, opening, to=to).send()
    except Exception as error:  # whatever a mail server does must not stop the others
        log.warning("Reminder %s could not be sent: %s", row.key, type(error).__name__)
        _try_later(mine, row, error, now)
        return False
    mine.update(state=Reminder.State.SENT, sent_at=now, last_error="")
    return True


def _try_later(mine, row: Reminder, error: Exception, now: datetime) -> None:
    tries = row.tries + 1
    state = Reminder.State.FAILED if tries >= MOST_TRIES else Reminder.State.WAITING
    mine.update(
        state=state,
        tries=tries,
        last_error=f"{type(error).__name__}: {error}"[:300],
        not_before=now + timedelta(minutes=2**tries),
        claimed_until=None,
    )


def _still_so(row: Reminder) -> Opening | None:
    """Return the gate this reminder tells of, where the record still has it so."""
    panel = Panel.objects.of(row.studio).for_bench().get(pk=row.stage.panel_id)
    gate = current_gate(panel) if panel.commission.in_hand else None
    if gate and reminder_key(gate) == row.key:
        return gate
    return None


def message_id(key: str) -> str:
    """Return the Message-ID of a reminder: the same for a repeat, so that it is recognisable."""
    host = settings.SITE_URL.split("//")[-1].split("/")[0].split(":")[0]
    return f"<{key.replace(':', '.')}@{host}>"


def _message(row: Reminder, opening: Opening, *, to: list[str]) -> EmailMessage:
    panel = opening.stage.panel
    context = {
        "studio": row.studio,
        "panel": panel,
        "opening": opening,
        "coat": opening.stage.coat_name(opening.coat),
        "next": next_stage(panel),
        "url": settings.SITE_URL,
    }
    subject = f"{panel.title}: {context['coat']} should be {opening.label}"
    return EmailMessage(
        subject=" ".join(subject.split()),  # a header is one line, whatever a name holds
        body=render_to_string("schedule/reminder.txt", context),
        to=to,
        headers={"Message-ID": message_id(row.key)},
    )


@transaction.atomic
def try_again(row: Reminder) -> None:
    """Put a reminder that was given up back in line; any other is left as it is."""
    given_up = Reminder.objects.filter(pk=row.pk, state=Reminder.State.FAILED)
    given_up.update(**IN_LINE)
