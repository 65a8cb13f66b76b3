"""Keep and remove what the painter typed; the same for every record."""

from django.db import transaction
from django.db.models import ProtectedError

from studio.models import Record, Studio
from studio.refusal import Refused, Stale
from studio.signals import announce_change

STALE = (
    "This was changed in another tab or by someone else since you opened it. What you typed is "
    "still here: compare it with the record as it is now, then save again."
)
GONE = 0
"""The version of what is not there: kept records count from one."""


def hold_studio(studio: Studio) -> None:
    """Let one change of a studio's work pass at a time; call it first within the transaction."""
    Studio.objects.select_for_update(no_key=True).get(pk=studio.pk)


@transaction.atomic
def keep_record(record: Record, *, seen_version: int | None = None) -> Record:
    """Save a new or changed record.

    `seen_version` is the version the form was drawn from. Raises Stale when the record has
    moved on since, or is gone.
    """
    if record.pk and seen_version is not None:
        fresh = type(record).objects.filter(pk=record.pk, version=seen_version)
        if not fresh.update(version=seen_version + 1):
            raise Stale(STALE)
        record.version = seen_version + 1
    elif record.pk:
        # A verb changes what an open form was drawn from just as another form does.
        record.version += 1
    record.save()
    if record.MOVES_PROGRAMME:
        announce_change(record.owner)
    return record


@transaction.atomic
def remove_record(record: Record) -> None:
    """Remove a record. Raises Refused, saying why, where it must be kept."""
    if reason := record.why_kept():
        raise Refused(reason)
    owner = record.owner
    try:
        record.delete()
    except ProtectedError as error:
        others = ", ".join(sorted({str(thing) for thing in error.protected_objects}))
        raise Refused(f"It is still in use by: {others}. Change those first.") from error
    if record.MOVES_PROGRAMME:
        announce_change(owner)
