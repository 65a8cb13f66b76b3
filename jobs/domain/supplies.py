"""The materials a studio starts with; she types her own prices over them."""

from decimal import Decimal

from django.db import transaction

from jobs.models import Supply
from jobs.paint.binders import Binder, binders
from studio.domain.records import keep_record
from studio.formats import to_minor
from studio.models import Studio

USUAL_PRICE = Decimal(12)
"""Of a pack whose row names no price: common practice, no source."""
NEAR_THE_EURO = frozenset(["CHF", "EUR", "GBP", "USD"])
"""Currencies in which the table's prices hold roughly, from memory; in others she types her own."""


def starting_price(paint: Binder, currency: str) -> int | None:
    """Return minor units for a pack, or None where a price would be a guess."""
    if currency not in NEAR_THE_EURO:
        return None
    return to_minor(USUAL_PRICE if paint.price is None else paint.price, currency)


@transaction.atomic
def add_usual_supplies(studio: Studio) -> None:
    """Give the studio a pack of each paint binder it does not have yet, from the paint tables."""
    have = set(studio.supplies.values_list("binder", flat=True))
    Supply.objects.bulk_create(
        Supply(
            studio=studio,
            binder=key,
            name=binder.name.capitalize(),
            spread_rate=binder.rate,
            waste=binder.waste * 100,
            pack_ml=binder.pack_ml,
            pack_price=starting_price(binder, studio.currency),
            currency=studio.currency,
        )
        for key, binder in binders().items()
        if binder.leaves_film and key not in have
    )


def keep_supply(supply: Supply, *, seen_version: int | None = None) -> Supply:
    """Save what she typed of a material; its price is in the studio's currency of today."""
    supply.currency = supply.studio.currency
    return keep_record(supply, seen_version=seen_version)


def too_cold_for(studio: Studio) -> list[tuple[float, list[str]]]:
    """Return which paints on hand the room is too cold to work, by the °C that each wants."""
    cold: dict[float, list[str]] = {}
    for supply in studio.supplies.all():
        paint = binders().get(supply.binder)
        if paint and studio.room_temperature < paint.lowest_c:
            cold.setdefault(paint.lowest_c, []).append(supply.name)
    return sorted(cold.items())
