"""Mixes: recipes kept so that the same colour comes out again."""

from django.db import transaction

from jobs.models import Mix
from studio.domain.records import keep_record
from studio.signals import announce_change


@transaction.atomic
def keep_mix(mix: Mix, *, parts, seen_version: int | None = None) -> Mix:
    """Save a mix with its parts (a valid MixPartSet); its drying counts in the programme."""
    keep_record(mix, seen_version=seen_version)
    parts.instance = mix
    parts.save()
    announce_change(mix.studio)
    return mix
