"""The materials a studio starts with; she types her own prices over them."""

from decimal import Decimal

from django.db import transaction

from jobs.models import Supply
from jobs.paint.binders import binders
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
}
"""A pack's price in major units of any currency near the euro: common practice, no source."""
USUAL_PRICE = Decimal(12)


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
            pack_price=to_minor(STARTING_PRICES.get(key, USUAL_PRICE), studio.currency),
        )
        for key, binder in binders().items()
        if binder.leaves_film and key not in have
    )
