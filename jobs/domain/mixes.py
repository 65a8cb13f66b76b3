"""Mixes: recipes kept so that the same colour comes out again, and their families."""

from collections.abc import Iterable, Mapping

from django.core.files.base import ContentFile
from django.db import transaction

from jobs.domain.photos import clear_away
from jobs.models import Mix, MixPart
from jobs.paint.colour import bands, lab
from jobs.paint.mixing import Sibling, family
from jobs.paint.pigments import pigment
from studio.domain.records import hold_studio, keep_record, remove_record
from studio.refusal import Refused
from studio.signals import announce_change

WAYS = ("lighter", "darker")
LONGEST_NAME = 80


@transaction.atomic
def keep_mix(mix: Mix, *, parts: Mapping[str, int], seen_version: int | None = None) -> Mix:
    """Save a mix with its parts by the key of their pigment; its drying counts in the programme.

    A family is kept under one head: siblings of its own come along. Raises Refused for no parts
    at all, a pigment that the tables do not hold, or a family that would go round in a ring.
    """
    if not any(parts.values()):
        raise Refused("A mix needs at least one tube colour.")
    try:
        for key in parts:
            pigment(key)
    except ValueError as error:
        raise Refused(str(error)) from error
    mix.family = _head(mix)
    keep_record(mix, seen_version=seen_version)
    if mix.family:
        mix.siblings.update(family=mix.family)
    mix.parts.exclude(pigment__in=parts).delete()
    for key, amount in parts.items():
        MixPart.objects.update_or_create(mix=mix, pigment=key, defaults={"parts": amount})
    announce_change(mix.studio)
    return mix


@transaction.atomic
def keep_sibling(mix: Mix, *, way: str) -> Mix:
    """Keep the mix one step `way` ("lighter" or "darker") as reckoned, in the mix's family.

    Raises Refused where the colours at hand go no further, or it is kept already.
    """
    found = reckoned_siblings(mix).get(way)
    if found is None:
        raise Refused(f"The tube colours at hand make ‘{mix.name}’ no {way}.")
    name = sibling_name(mix, way=way)
    if kept := next((one for one in family_of(mix) if one.name == name), None):
        raise Refused(f"‘{kept.name}’ is in your mixes already.")
    new = Mix(studio=mix.studio, name=name, family=mix)
    return keep_mix(new, parts=found.parts)


def reckoned_siblings(mix: Mix) -> dict[str, Sibling]:
    """Return the mixes one step to either side, by way; those that the colours at hand make."""
    try:
        kin = family(mix.recipe)
    except ValueError:
        return {}
    both = {"lighter": kin.lighter, "darker": kin.darker}
    return {way: sibling for way, sibling in both.items() if sibling}


def sibling_name(mix: Mix, *, way: str) -> str:
    """Return "Old gold, lighter"."""
    end = f", {way}"
    return mix.name[: LONGEST_NAME - len(end)] + end


def family_of(mix: Mix) -> list[Mix]:
    """Return the mix with its siblings, the lightest first; alone where it has none."""
    head = mix.family or mix
    rows = Mix.objects.of(mix.studio).prefetch_related("parts")
    return sorted([*rows.filter(pk=head.pk), *rows.filter(family=head)], key=_darkness)


def families(mixes: Iterable[Mix]) -> list[list[Mix]]:
    """Return mixes put together by family, by the name of its head; within, the lightest first."""
    found: dict[int, list[Mix]] = {}
    heads = {}
    for mix in mixes:
        found.setdefault(mix.family_id or mix.pk, []).append(mix)
        heads[mix.pk] = mix.name.casefold()
    together = sorted(found.items(), key=lambda item: (heads.get(item[0], ""), item[0]))
    return [sorted(members, key=_darkness) for _, members in together]


@transaction.atomic
def keep_swatch_photo(mix: Mix, *, image: ContentFile) -> Mix:
    """Keep a photograph of the swatch in place of the one before; `image` is redrawn."""
    return _with_photo(mix, image)


@transaction.atomic
def remove_swatch_photo(mix: Mix) -> Mix:
    """Remove the photograph of the swatch."""
    return _with_photo(mix, "")


@transaction.atomic
def remove_mix(mix: Mix) -> None:
    """Remove a mix; the siblings of a head stay together under the next head."""
    hold_studio(mix.studio)
    if head := next_head(mix):
        mix.siblings.exclude(pk=head.pk).update(family=head)
        Mix.objects.filter(pk=head.pk).update(family=None)
    remove_record(mix)
    announce_change(mix.studio)


def next_head(mix: Mix) -> Mix | None:
    """Return the sibling that heads the family when this mix goes: the first that was kept."""
    return mix.siblings.order_by("pk").first()


def _with_photo(mix: Mix, picture: ContentFile | str) -> Mix:
    """Keep a picture of the swatch and nothing else: a mix may change while it is redrawn."""
    hold_studio(mix.studio)
    fresh = Mix.objects.select_for_update().filter(pk=mix.pk).first()
    if fresh is None:
        raise Refused(f"‘{mix.name}’ was removed meanwhile.")
    clear_away(fresh.swatch_photo)
    fresh.swatch_photo = picture
    fresh.version += 1
    fresh.save(update_fields=["swatch_photo", "version", "changed_at"])
    return fresh


def _head(mix: Mix) -> Mix | None:
    """Return the head of the family a mix is put in; Refused where that is the mix itself."""
    head = mix.family
    if head is None:
        return None
    if head.pk == mix.pk:
        raise Refused("A mix is no sibling of itself. Choose another.", "family")
    seen = {head.pk}
    while head.family and head.family_id not in seen:
        head = head.family
        seen.add(head.pk)
    if mix.pk in seen:
        raise Refused(
            f"‘{mix.family.name}’ is kept as a sibling of ‘{mix.name}’ already. "
            "Take it out of this family first.",
            "family",
        )
    return head


def _darkness(mix: Mix) -> tuple[float, str, int]:
    lightness = lab(bands(mix.swatch))[0] if mix.swatch else 0.0
    return -lightness, mix.name, mix.pk
