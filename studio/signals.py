"""What the business announces, so that apps to the right can answer within the transaction.

studio_opened: a new studio exists. work_changed: something the programme depends on changed.
Both are sent with `studio`. held_by: asks what holds a record; see why_held.
"""

from collections.abc import Iterator
from contextlib import contextmanager
from contextvars import ContextVar

from django.dispatch import Signal

studio_opened = Signal()
work_changed = Signal()
held_by = Signal()

_held: ContextVar[dict | None] = ContextVar("held", default=None)


def announce_change(studio) -> None:
    """Say that the work of `studio` changed; inside hold_changes() it is said once, at the end."""
    held = _held.get()
    if held is None:
        work_changed.send(sender=type(studio), studio=studio)
    else:
        held[studio.pk] = studio


def why_held(record) -> str:
    """Return why an app to the right must have this record stay as it is, or "".

    Such an app answers the signal held_by with a sentence, since nobody on the left may know it.
    """
    answers = held_by.send(sender=type(record), record=record)
    return next((sentence for _, sentence in answers if sentence), "")


@contextmanager
def hold_changes() -> Iterator[None]:
    """Gather the changes of a long piece of work and announce each studio's once."""
    token = _held.set({})
    try:
        yield
        held = _held.get()
    finally:
        _held.reset(token)
    for studio in held.values():
        announce_change(studio)


@contextmanager
def mute_changes() -> Iterator[None]:
    """Announce nothing of what changes within: it is undone before anybody could see it."""
    token = _held.set({})
    try:
        yield
    finally:
        _held.reset(token)
