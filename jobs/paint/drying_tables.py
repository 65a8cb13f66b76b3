"""What lies behind the waits, as read from the tables: single values, thickness, air, media."""

from dataclasses import dataclass
from functools import cache
from pathlib import Path

from jobs.paint.binders import FAMILIES, binders
from jobs.paint.cautions import cautions
from jobs.paint.table import Column, many_of, number, one_of, optional, read_rows, text

DATA = Path(__file__).parent / "data"

STILL, NORMAL, MOVED = "still", "normal", "moved"
AIRINGS = (STILL, NORMAL, MOVED)
"""How the air of the room goes, from the slowest drying to the quickest."""


@dataclass(frozen=True)
class DryingValue:
    """One number of the drying model, in `unit`, with its name in words and its source."""

    key: str
    name: str
    value: float
    unit: str
    source: str


@dataclass(frozen=True)
class Thickness:
    """Exponents of the film's thickness for a family of binders, at the surface and in depth."""

    key: str
    name: str
    surface: float
    depth: float
    source: str


@dataclass(frozen=True)
class Airing:
    """How the air goes, and its factor on the waits of each family of binders."""

    key: str
    name: str
    water: float
    oil: float
    shellac: float
    resin: float
    wax: float
    source: str


@dataclass(frozen=True)
class Covered:
    """What the sources cover of one thing, from `low` to `high`, in `unit`."""

    key: str
    name: str
    low: float
    high: float
    unit: str
    source: str


@dataclass(frozen=True)
class Medium:
    """What is worked into a colour: factors on the waits at the surface and in the depth.

    `families` are the binders' it may go into; `like` is the key of a binder whose waits are
    taken where they are shorter, or "". `cautions` are keys of what to mind in working with it.
    """

    key: str
    name: str
    families: tuple[str, ...]
    surface: float
    depth: float
    like: str
    cautions: tuple[str, ...]
    note: str
    source: str


@cache
def drying_values() -> dict[str, DryingValue]:
    """Every single value of the drying model by key. ValueError names a bad row."""
    columns = {
        "key": Column(text),
        "name": Column(text),
        "value": Column(number(0, 1000)),
        "unit": Column(text),
    }
    table = {}
    for row in read_rows(DATA / "drying.toml", "drying", columns):
        row["value"] = float(row["value"])
        table[row["key"]] = DryingValue(**row)
    return table


def drying_value(key: str) -> float:
    """The number of that key. KeyError when the table lacks it."""
    return drying_values()[key].value


@cache
def thicknesses() -> dict[str, Thickness]:
    """The exponents of thickness by family of binders. ValueError names a bad row."""
    exponent = Column(number(1, 2))
    columns = {
        "key": Column(one_of(FAMILIES)),
        "name": Column(text),
        "surface": exponent,
        "depth": exponent,
    }
    table = {}
    for row in read_rows(DATA / "drying_thickness.toml", "thickness", columns):
        row["surface"], row["depth"] = float(row["surface"]), float(row["depth"])
        table[row["key"]] = Thickness(**row)
    return table


@cache
def airings() -> dict[str, Airing]:
    """What still and moved air do, by key. ValueError names a bad row."""
    families = ("water", "oil", "shellac", "resin", "wax")
    columns = {"key": Column(one_of(AIRINGS)), "name": Column(text)}
    columns |= {family: Column(number(0.1, 10)) for family in families}
    table = {}
    for row in read_rows(DATA / "drying_airing.toml", "airing", columns):
        row |= {family: float(row[family]) for family in families}
        table[row["key"]] = Airing(**row)
    return table


@cache
def covered() -> dict[str, Covered]:
    """What the sources cover of temperature, humidity and film. ValueError names a bad row."""
    columns = {
        "key": Column(text),
        "name": Column(text),
        "low": Column(number(0, 1000)),
        "high": Column(number(0, 1000)),
        "unit": Column(text),
    }
    table = {}
    for row in read_rows(DATA / "drying_ranges.toml", "range", columns):
        if row["low"] > row["high"]:
            raise ValueError(f"drying_ranges.toml, {row['key']}: low is above high")
        row["low"], row["high"] = float(row["low"]), float(row["high"])
        table[row["key"]] = Covered(**row)
    return table


@cache
def media() -> dict[str, Medium]:
    """Every medium by key. ValueError names a bad row."""
    columns = {
        "key": Column(text),
        "name": Column(text),
        "families": Column(many_of(FAMILIES)),
        "surface": Column(number(0.1, 10)),
        "depth": Column(number(1, 10)),
        "like": optional(one_of(binders()), ""),
        "cautions": optional(many_of(cautions()), ()),
        "note": optional(text, ""),
    }
    table = {}
    for row in read_rows(DATA / "drying_media.toml", "medium", columns):
        row["surface"], row["depth"] = float(row["surface"]), float(row["depth"])
        table[row["key"]] = Medium(**row)
    return table


def medium(key: str) -> Medium:
    """The medium of that key; ValueError when there is none."""
    try:
        return media()[key]
    except KeyError:
        raise ValueError(f"There is no medium '{key}'.") from None
