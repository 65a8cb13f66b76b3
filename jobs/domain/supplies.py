"""The materials a studio starts with; she types her own prices over them."""

from decimal import Decimal

from django.db import transaction

from jobs.models import Supply
from jobs.paint.binders import binders
from studio.domain.records import keep_record
from studio.formats import to_minor
from studio.models import Studio

STARTING_PRICES = {
    "gesso": Decimal(22),
    "oil-ground": Decimal(24),
    "acrylic": Decimal(9),
    "acrylic-glaze": Decimal(10),
    "casein": Decimal(11),
    "oil": Decimal(14),
    "oil-alkyd": Decimal(15),
    "alkyd": Decimal(12),
    "quick-glaze": Decimal(12),
    "glaze": Decimal(13),
    "shellac": Decimal(18),
    "acrylic-varnish": Decimal(12),
    "resin-varnish": Decimal(14),
    "wax": Decimal(13),
}
"""A pack's price in major units of a currency near the euro: common practice, no source."""
USUAL_PRICE = Decimal(12)
NEAR_THE_EURO = frozenset(["CHF", "EUR", "GBP", "USD"])
"""Currencies in which these prices hold roughly, from memory; in others she types her own."""


def starting_price(binder: str, currency: str) -> int | None:
    """Return minor units for a pack, or None where a price would be a guess."""
    if currency not in NEAR_THE_EURO:
        return None
    return to_minor(STARTING_PRICES.get(binder, USUAL_PRICE), currency)


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
            pack_price=starting_price(key, studio.currency),
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
