"""How much paint the coats of a stage take: one reckoning for mixes, prices and late colours."""

from decimal import Decimal

from jobs.layout.shapes import area
from jobs.models import Stage, Supply
from jobs.paint.binders import binder
from jobs.paint.film import millilitres


def stage_millilitres(stage: Stage, supply: Supply | None, *, coats: int) -> Decimal:
    """Return the paint that `coats` coats of a stage take, with what is lost, in ml.

    A film typed for the stage counts before the rate at which the studio spreads the paint;
    without the paint among its materials (`supply` None) the table's usual rate and loss count.
    """
    paint = binder(stage.binder)
    rate, waste = (supply.spread_rate, supply.waste / 100) if supply else (paint.rate, paint.waste)
    if stage.film_um:
        rate = Decimal(1000) / Decimal(stage.film_um)
    return millilitres(stage_covers(stage), coats=coats, rate=rate, waste=waste)


def stage_covers(stage: Stage) -> float:
    """Return the mm² of its panel that one coat of a stage covers."""
    return area(stage.panel.shape) * float(stage.sort.cover)
