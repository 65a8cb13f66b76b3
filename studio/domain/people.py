"""People of the studio and its private calendar link."""

from django.db import transaction

from studio.models import Person, Studio
from studio.models.studio import new_secret
from studio.refusal import Refused
from studio.signals import announce_change


@transaction.atomic
def keep_person(person: Person, *, password: str, by: Person) -> Person:
    """Save someone of the studio; an empty password keeps the old one.

    Raises Refused where `by` would lock herself out.
    """
    if person.pk == by.pk and not person.is_active:
        raise Refused("You cannot take away your own sign-in.", "is_active")
    if password:
        person.set_password(password)
    person.save()
    announce_change(person.studio)
    return person


def renew_feed_link(studio: Studio) -> None:
    """Give the calendar feed a new secret address; the old one is dead from now on."""
    studio.feed_secret = new_secret()
    studio.save(update_fields=["feed_secret"])
