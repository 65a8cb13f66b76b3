"""The rows that only quote what is published, to hold what is counted with against them."""

from dataclasses import dataclass
from functools import cache

from jobs.paint.binders import binders
from jobs.paint.cautions import cautions
from jobs.paint.gates import GATES
from jobs.paint.pigments import drying_classes, pigments
from jobs.paint.table import Column, number, one_of, optional, read_rows, text
from jobs.paint.values import DATA


@dataclass(frozen=True)
class PublishedWait:
    """Hours from `low` to `high` that a source gives a binder to a gate.

    `drying` is a drying class, `pigment` a Colour Index name, `medium` a key, each "" where the
    source does not say; `thickness_um` the wet film in microns, or None.
    """

    key: str
    name: str
    binder: str
    gate: str
    drying: str
    pigment: str
    medium: str
    thickness_um: float | None
    low: float
    high: float
    note: str
    source: str


@dataclass(frozen=True)
class PublishedFilm:
    """A spread rate in m2 per litre, or a film of `um` microns, wet or dry; None if not said."""

    key: str
    name: str
    binder: str
    rate: float | None
    um: float | None
    state: str
    source: str


@dataclass(frozen=True)
class Limit:
    """A limit that a caution (by its key) speaks of. Information, never in place of the law."""

    key: str
    name: str
    caution: str
    value: float
    unit: str
    source: str


@dataclass(frozen=True)
class DryWord:
    """A word for a state of dryness, and the key of the gate nearest to it, or ""."""

    key: str
    name: str
    meaning: str
    gate: str
    source: str


@cache
def published_waits() -> dict[str, PublishedWait]:
    """Every published wait by its key. ValueError names a bad row."""
    hours = Column(number(0.001, 20000))
    columns = {
        "key": Column(text),
        "name": Column(text),
        "binder": Column(one_of(binders())),
        "gate": Column(one_of(GATES)),
        "drying": optional(one_of(drying_classes()), ""),
        "pigment": optional(one_of(pigments()), ""),
        "medium": optional(text, ""),
        "thickness_um": optional(number(1, 5000), None),
        "low": hours,
        "high": hours,
        "note": optional(text, ""),
    }
    table = {}
    for row in read_rows(DATA / "published_waits.toml", "published_wait", columns):
        if row["low"] > row["high"]:
            raise ValueError(f"published_waits.toml, {row['key']}: low is above high")
        row["low"], row["high"] = float(row["low"]), float(row["high"])
        if row["thickness_um"] is not None:
            row["thickness_um"] = float(row["thickness_um"])
        table[row["key"]] = PublishedWait(**row)
    return table


@cache
def published_films() -> dict[str, PublishedFilm]:
    """Every published rate or film by its key. ValueError names a bad row."""
    columns = {
        "key": Column(text),
        "name": Column(text),
        "binder": optional(one_of(binders()), ""),
        "rate": optional(number(1, 50), None),
        "um": optional(number(1, 5000), None),
        "state": optional(one_of(("wet", "dry")), ""),
    }
    table = {}
    for row in read_rows(DATA / "films.toml", "film", columns):
        if row["rate"] is None and row["um"] is None:
            raise ValueError(f"films.toml, {row['key']}: needs a rate or a thickness")
        for column in ("rate", "um"):
            row[column] = None if row[column] is None else float(row[column])
        table[row["key"]] = PublishedFilm(**row)
    return table


@cache
def limits() -> dict[str, Limit]:
    """Every published limit by its key. ValueError names a bad row."""
    columns = {
        "key": Column(text),
        "name": Column(text),
        "caution": Column(one_of(cautions())),
        "value": Column(number(0, 1_000_000)),
        "unit": Column(text),
    }
    rows = read_rows(DATA / "limits.toml", "limit", columns)
    return {row["key"]: Limit(**{**row, "value": float(row["value"])}) for row in rows}


@cache
def dry_words() -> dict[str, DryWord]:
    """Every word for dry by its key, from the first state to the last."""
    columns = {
        "key": Column(text),
        "name": Column(text),
        "meaning": Column(text),
        "gate": optional(one_of(GATES), ""),
    }
    rows = read_rows(DATA / "dry_words.toml", "dry_word", columns)
    return {row["key"]: DryWord(**row) for row in rows}
