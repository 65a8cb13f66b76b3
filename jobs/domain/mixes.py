"""Mixes: recipes kept so that the same colour comes out again."""

from collections.abc import Mapping

from django.db import transaction

from jobs.models import Mix, MixPart
from jobs.paint.pigments import pigment
from studio.domain.records import keep_record
from studio.refusal import Refused
from studio.signals import announce_change


@transaction.atomic
def keep_mix(mix: Mix, *, parts: Mapping[str, int], seen_version: int | None = None) -> Mix:
    """Save a mix with its parts by Colour Index name; its drying counts in the programme.

    Raises Refused for no parts at all, or a pigment that the tables do not hold.
    """
    if not any(parts.values()):
        raise Refused("A mix needs at least one tube colour.")
    try:
        for ci in parts:
            pigment(ci)
    except ValueError as error:
        raise Refused(str(error)) from error
    keep_record(mix, seen_version=seen_version)
    mix.parts.exclude(pigment__in=parts).delete()
    for ci, amount in parts.items():
        MixPart.objects.update_or_create(mix=mix, pigment=ci, defaults={"parts": amount})
    announce_change(mix.studio)
    return mix
