"""Open a studio: the business, its first person and its usual hours."""

from datetime import time

from django.db import transaction
from django.utils.text import slugify

from studio.models import Person, Studio, WorkingWindow
from studio.refusal import Refused
from studio.signals import studio_opened

USUAL_HOURS = ((time(9), time(13)), (time(14), time(17)))
USUAL_DAYS = range(5)
"""Monday to Friday with an hour at noon, to begin with: common practice, no source."""


def free_slug(name: str) -> str:
    """Return a short name for commands and links that no other studio has."""
    stem = slugify(name)[:50] or "studio"
    slug, number = stem, 1
    while Studio.objects.filter(slug=slug).exists():
        number += 1
        slug = f"{stem}-{number}"
    return slug


@transaction.atomic
def open_first_studio(studio: Studio, **who: str) -> Person:
    """Open the studio of a new installation, as open_studio does. Raises Refused if there is one.

    Of two clicks at one moment the second waits its turn (SQLite) or runs into the same short
    name or email (IntegrityError, PostgreSQL).
    """
    if Studio.objects.exists():
        raise Refused("There is a studio already. Sign in to it.")
    return open_studio(studio, **who)


@transaction.atomic
def open_studio(studio: Studio, *, person_name: str, email: str, password: str) -> Person:
    """Save a new studio with its first person, usual hours and shipped method sheets."""
    studio.slug = free_slug(studio.name)
    studio.save()
    person = Person(studio=studio, name=person_name, email=email)
    person.set_password(password)
    person.save()
    WorkingWindow.objects.bulk_create(
        WorkingWindow(studio=studio, weekday=weekday, start=start, end=end)
        for weekday in USUAL_DAYS
        for start, end in USUAL_HOURS
    )
    studio_opened.send(sender=Studio, studio=studio)
    return person
