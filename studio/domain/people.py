"""People of the studio and its private calendar link."""

from django.db import transaction
from django.db.models import ProtectedError

from studio.domain.records import keep_record
from studio.models import Person, Studio
from studio.models.studio import new_secret
from studio.refusal import Refused
from studio.signals import announce_change


@transaction.atomic
def keep_person(
    person: Person, *, password: str, by: Person, seen_version: int | None = None
) -> Person:
    """Save someone of the studio; an empty password keeps the old one, or none for someone new.

    Raises Refused where `by` would lock herself out, Stale as keep_record does.
    """
    if person.pk == by.pk and not person.is_active:
        raise Refused("You cannot take away your own sign-in.", "is_active")
    if password:
        person.set_password(password)
    elif not person.password:
        person.set_unusable_password()
    return keep_record(person, seen_version=seen_version)


@transaction.atomic
def remove_person(person: Person, *, by: Person) -> None:
    """Remove someone who never worked here. Raises Refused for `by` herself or a logged worker."""
    if person.pk == by.pk:
        raise Refused("You cannot remove yourself while you are signed in.")
    studio = person.studio
    try:
        person.delete()
    except ProtectedError as error:
        raise Refused(
            f"{person.name} has logged work, and the log is kept. "
            "Edit the person instead: paints no more, may not sign in."
        ) from error
    announce_change(studio)


def renew_feed_link(studio: Studio) -> None:
    """Give the calendar feed a new secret address; the old one is dead from now on."""
    studio.feed_secret = new_secret()
    studio.save(update_fields=["feed_secret"])
