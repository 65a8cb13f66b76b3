"""Pigments by Colour Index name, and the drying classes of oil colours."""

import re
from collections.abc import Collection
from dataclasses import dataclass
from functools import cache
from pathlib import Path
from typing import Any

from jobs.paint.table import (
    Column,
    caution_keys,
    many_of,
    number,
    one_of,
    optional,
    read_rows,
    text,
)

DATA = Path(__file__).parent / "data"

OPACITIES = ("opaque", "semi-opaque", "semi-transparent", "transparent")
LIGHTFAST = ("", "I", "II", "III", "IV", "V")
LIGHTFAST_WORDS = {
    "I": "excellent",
    "II": "very good",
    "III": "fair: it may fade",
    "IV": "poor: it fades",
    "V": "very poor: it fades soon",
}
"""What the classes of ASTM D4302 mean, from memory."""
SHIFTS = ("lighter", "darker")
_ASSUMED_CLASS = "medium"
_CAUTIOUS_CLASS = "slow"


@dataclass(frozen=True)
class DryingClass:
    """Factors of a class of pigments on oil's waits: at the surface, and in the depth."""

    key: str
    name: str
    surface: float
    depth: float
    source: str


@dataclass(frozen=True)
class Pigment:
    """One pigment. `masstone` is a hex colour for the screen, approximate and by eye.

    `variety` tells apart what one Colour Index name holds and looks nothing alike, or is "".
    `opacity_also` and `drying_also` hold what other sources say, `note` tells of it.
    `shifts` says whether it makes mixes "lighter" or "darker" for their siblings, or is "".
    `strength` is tinting strength against yellow ochre at 1. `lightfast` is the class of ASTM
    D4302, I the best, "" when none is held here; `hazard` is the key of a caution or "".
    """

    ci: str
    name: str
    masstone: str
    opacity: str
    drying: str
    lightfast: str
    hazard: str
    note: str
    source: str
    strength: float = 1.0
    opacity_also: tuple[str, ...] = ()
    drying_also: tuple[str, ...] = ()
    variety: str = ""
    shifts: str = ""

    @property
    def key(self) -> str:
        """What a recipe names it by: "PB29", or "PBr7 raw umber" where the name is not enough."""
        return f"{self.ci} {self.variety}".strip()

    @property
    def opacities(self) -> tuple[str, ...]:
        """Every opacity class that a source gives it, the one counted on first."""
        return (self.opacity, *self.opacity_also)


def _hex(value: Any) -> str:
    if not isinstance(value, str) or not re.fullmatch(r"#[0-9a-f]{6}", value):
        raise ValueError(f"needs a colour such as #a0b1c2, not {value!r}")
    return value


def _ci(value: Any) -> str:
    if not isinstance(value, str) or not re.fullmatch(r"P(W|Bk|Br|Y|O|R|V|B|G)\d+", value):
        raise ValueError(f"needs a Colour Index name such as PB29, not {value!r}")
    return value


@cache
def drying_classes() -> dict[str, DryingClass]:
    """The drying classes by key, the quickest first."""
    columns = {
        "key": Column(text),
        "name": Column(text),
        "surface": Column(number(0.1, 5)),
        "depth": Column(number(1, 5)),
    }
    table = {}
    for row in read_rows(DATA / "drying_classes.toml", "drying_class", columns):
        row["surface"], row["depth"] = float(row["surface"]), float(row["depth"])
        table[row["key"]] = DryingClass(**row)
    return table


@cache
def pigments() -> dict[str, Pigment]:
    """Every pigment by its key: its Colour Index name, with the variety where there are some.

    ValueError names a bad row.
    """
    columns = {
        "ci": Column(_ci),
        "variety": optional(text, ""),
        "name": Column(text),
        "masstone": Column(_hex),
        "opacity": Column(one_of(OPACITIES)),
        "opacity_also": optional(many_of(OPACITIES), ()),
        "drying": Column(one_of(drying_classes())),
        "drying_also": optional(many_of(drying_classes()), ()),
        "strength": Column(number(0.2, 5)),
        "lightfast": optional(one_of(LIGHTFAST), ""),
        "hazard": optional(one_of(("", *caution_keys())), ""),
        "note": optional(text, ""),
        "shifts": optional(one_of(SHIFTS), ""),
    }
    rows = read_rows(DATA / "pigments.toml", "pigment", columns, key=("ci", "variety"))
    found = [Pigment(**{**row, "strength": float(row["strength"])}) for row in rows]
    return {each.key: each for each in found}


def pigment(key: str) -> Pigment:
    """The pigment of that key, such as PB29; ValueError when it is not in the table."""
    try:
        return pigments()[key]
    except KeyError:
        raise ValueError(f"The pigment '{key}' is not in the table.") from None


def shifting(way: str) -> tuple[str, ...]:
    """The keys of what makes a mix "lighter" or "darker", in the order of the table."""
    return tuple(key for key, each in pigments().items() if each.shifts == way)


def unknown_pigments(names: Collection[str]) -> tuple[str, ...]:
    """Those of `names` that the table does not hold, sorted."""
    return tuple(sorted(set(names) - set(pigments())))


def quickest_class(names: Collection[str]) -> DryingClass:
    """The quickest a mix may dry: its slowest part's class, where sources disagree the quickest.

    No stated pigment counts as medium, an unknown one as slow.
    """
    table = pigments()
    answers = [
        (table[ci].drying, *table[ci].drying_also) if ci in table else (_CAUTIOUS_CLASS,)
        for ci in names
    ]
    quickest = [min(map(_class, keys), key=_pace) for keys in answers or [(_ASSUMED_CLASS,)]]
    return max(quickest, key=_pace)


def slowest_class(names: Collection[str]) -> DryingClass:
    """The drying class that governs a mix: its slowest part's.

    A mix of no stated pigment counts as medium, an unknown pigment as slow.
    """
    table = pigments()
    found = [table[ci].drying if ci in table else _CAUTIOUS_CLASS for ci in names]
    return max((_class(key) for key in found or [_ASSUMED_CLASS]), key=_pace)


def _class(key: str) -> DryingClass:
    return drying_classes()[key]


def _pace(drying_class: DryingClass) -> tuple[float, float]:
    return drying_class.surface, drying_class.depth
