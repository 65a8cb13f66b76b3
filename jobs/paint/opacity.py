"""How strongly paint scatters by its opacity class, and how thick a dry coat of it lies."""

import math
from collections.abc import Collection, Sequence
from dataclasses import dataclass
from decimal import Decimal
from functools import cache

from jobs.paint.binders import binder
from jobs.paint.film import wet_film_microns
from jobs.paint.pigments import OPACITIES
from jobs.paint.table import Column, number, one_of, optional, read_rows, text
from jobs.paint.values import DATA, values


@dataclass(frozen=True)
class Scattering:
    """S of Kubelka and Munk per micron of dry film: likely, and the range of its class."""

    likely: float
    low: float
    high: float

    def __post_init__(self) -> None:
        if not 0 < self.low <= self.likely <= self.high:
            raise ValueError("A paint's scattering is more than nothing and within its range.")


@dataclass(frozen=True)
class OpacityClass:
    """An opacity class; `white_coats` is the practice that `scattering` is calibrated to.

    `taken_for` names the paint that counts as of this class until she says more of it, or "".
    """

    key: str
    name: str
    white_coats: float
    scattering: Scattering
    source: str
    taken_for: str = ""


@cache
def opacity_classes() -> dict[str, OpacityClass]:
    """The opacity classes by key, the most opaque first. ValueError names a bad row."""
    share = number(0.0001, 1)
    columns = {
        "key": Column(one_of(OPACITIES)),
        "name": Column(text),
        "white_coats": Column(number(1, 200)),
        "scattering": Column(share),
        "low": Column(share),
        "high": Column(share),
        "taken_for": optional(text, ""),
    }
    return {
        row["key"]: OpacityClass(
            row["key"],
            row["name"],
            float(row["white_coats"]),
            Scattering(float(row["scattering"]), float(row["low"]), float(row["high"])),
            row["source"],
            row["taken_for"],
        )
        for row in read_rows(DATA / "opacity.toml", "opacity", columns)
    }


@cache
def unnamed_ground() -> OpacityClass:
    """The class that a ground colour counts as whose pigments nobody has named."""
    return next(each for each in opacity_classes().values() if each.taken_for)


def scattering(opacity: str | Collection[str]) -> Scattering:
    """The scattering of an opacity class, or of a pigment that is sold in several.

    Of several, the range spans them all and the likely value is their geometric mean.
    ValueError for a class that is not in the table.
    """
    keys = [opacity] if isinstance(opacity, str) else sorted(opacity)
    table = opacity_classes()
    if unknown := [key for key in keys if key not in table]:
        raise ValueError(f"There is no opacity class '{unknown[0]}'.")
    if not keys:
        raise ValueError("A paint needs an opacity class.")
    found = [table[key].scattering for key in keys]
    return Scattering(
        likely=math.prod(each.likely for each in found) ** (1 / len(found)),
        low=min(each.low for each in found),
        high=max(each.high for each in found),
    )


def blend(parts: Sequence[tuple[float, Scattering]]) -> Scattering:
    """The scattering of a mix, each part in proportion to its volume (Duncan 1940).

    ValueError for less than nothing of a part, or nothing at all.
    """
    total = math.fsum(amount for amount, _ in parts)
    if total <= 0 or any(amount < 0 for amount, _ in parts):
        raise ValueError("A mix needs at least one part of something.")
    return Scattering(
        likely=math.fsum(amount * each.likely for amount, each in parts) / total,
        low=math.fsum(amount * each.low for amount, each in parts) / total,
        high=math.fsum(amount * each.high for amount, each in parts) / total,
    )


def opacity_like(scattering: float) -> OpacityClass:
    """The opacity class whose likely S per micron is the nearest by ratio."""
    return min(
        opacity_classes().values(),
        key=lambda each: abs(math.log(each.scattering.likely / scattering)),
    )


@dataclass(frozen=True)
class Solids:
    """Share in per cent of a wet coat that stays, by binder or family: likely and range."""

    key: str
    percent: float
    low: float
    high: float
    source: str


@cache
def solids() -> dict[str, Solids]:
    """Volume solids by key of binder or family. ValueError names a bad row."""
    share = number(1, 100)
    columns = {
        "key": Column(text),
        "percent": Column(share),
        "low": Column(share),
        "high": Column(share),
    }
    return {
        row["key"]: Solids(
            row["key"],
            float(row["percent"]),
            float(row["low"]),
            float(row["high"]),
            row["source"],
        )
        for row in read_rows(DATA / "solids.toml", "solids", columns)
    }


def dry_film_microns(rate: Decimal | float, *, percent: float) -> float:
    """Dry film in microns of a coat spread at `rate` m2 per litre, of `percent` volume solids.

    Dry = wet x solids / 100, the identity of coating data sheets. ValueError for a rate not
    above zero or solids not within 0 to 100.
    """
    if not 0 < percent <= 100:
        raise ValueError("What stays of a coat lies between nothing and all of it.")
    return wet_film_microns(rate) * percent / 100


def coat_microns(binder_key: str, *, wet_um: float | None = None) -> float:
    """Dry microns that one coat of a binder leaves, at its spread rate and volume solids.

    `wet_um` is the wet film in microns where it is laid otherwise. A glaze counts only as thick
    as the tube colour in it. ValueError for an unknown binder, one that leaves no film, or a
    film that is none.
    """
    paint = binder(binder_key)
    left = solids().get(paint.key) or solids().get(paint.family)
    if paint.rate is None or left is None:
        raise ValueError(f"No film of {paint.name} stays on the panel.")
    share = values("hiding.toml")["glaze-share"].value if paint.role == "glaze" else 1.0
    if wet_um is not None and not 0 < wet_um < math.inf:
        raise ValueError("A coat must be thicker than nothing.")
    rate = paint.rate if wet_um is None else 1000 / wet_um
    return dry_film_microns(rate, percent=left.percent) * share
