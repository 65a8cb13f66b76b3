"""How thick a coat lies and how much paint it takes."""

from decimal import ROUND_HALF_UP, Decimal
from fractions import Fraction
from math import ceil

_MM2_PER_M2 = Decimal(1_000_000)
_HUNDREDTH = Decimal("0.01")
LEAST_ML = Decimal("0.1")
TELL_WHOLE = 10
"""Millilitres: the least that is squeezed out, and what is told in whole ones."""


def wet_film_microns(rate: Decimal | float) -> float:
    """Wet film thickness in microns of a coat spread at `rate` m2 per litre.

    One litre over 1000 m2 lies one micron thick, so it is 1000 / rate. ValueError when the
    rate is not above zero.
    """
    if rate <= 0:
        raise ValueError("A spread rate must be more than nothing.")
    return 1000 / float(rate)


def millilitres(
    area_mm2: float, *, coats: int, rate: Decimal | None, waste: Decimal = Decimal(0)
) -> Decimal:
    """Paint in ml, to a hundredth, for `coats` coats over `area_mm2` at `rate` m2 per litre.

    `waste` is the share added for brush, palette and pot. The practical need of the coating
    trade's spreading notes: litres = area x coats x (1 + loss) / rate. No rate, no paint.
    ValueError for a negative area, coat or waste, or a rate not above zero.
    """
    if area_mm2 < 0 or coats < 0 or waste < 0:
        raise ValueError("Area, coats and waste cannot be less than nothing.")
    if rate is None:
        return Decimal(0)
    if rate <= 0:
        raise ValueError("A spread rate must be more than nothing.")
    litres = Decimal(str(area_mm2)) / _MM2_PER_M2 * coats * (1 + waste) / rate
    return (litres * 1000).quantize(_HUNDREDTH, ROUND_HALF_UP)


def packs(ml: Decimal, pack_ml: int) -> int:
    """Whole packs or tubes of `pack_ml` that hold `ml`: 312 ml from packs of 250 ml are 2.

    ValueError for an empty pack or less than nothing.
    """
    if pack_ml <= 0:
        raise ValueError("A pack must hold something.")
    if ml < 0:
        raise ValueError("The paint needed cannot be less than nothing.")
    return ceil(Fraction(ml) / pack_ml)


def squeezed(volume: Decimal) -> Decimal:
    """Round ml as near as paint can be squeezed out: to 0.1 ml, from 10 ml on to whole ones."""
    return volume.quantize(LEAST_ML if volume < TELL_WHOLE else Decimal(1), ROUND_HALF_UP)
