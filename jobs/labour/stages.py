"""The kinds of stage: what each is called, what it is painted with and how long it takes."""

from dataclasses import dataclass
from decimal import Decimal
from functools import cache
from pathlib import Path
from typing import Any

from jobs.layout.section import DEPTHS
from jobs.paint.binders import binder as find_binder
from jobs.paint.binders import binders
from jobs.paint.cautions import cautions
from jobs.paint.gates import GATES
from jobs.paint.table import (
    Column,
    many_of,
    number,
    one_of,
    optional,
    read_rows,
    text,
    whole,
    yes_no,
)

DATA = Path(__file__).parent / "data"

MOST_COATS = 12
"""Coats a stage may have, in tables and records alike; more is a slip of the pen.

Common practice, no source.
"""

_COUNTS = ("no", "one", "two", "three", "four", "five", "six", "seven", "eight", "nine", "ten")


@dataclass(frozen=True)
class StageKind:
    """One kind of stage with its usual binder, gate and coats.

    `client` is a past participle for the estimate, with {coats} and {binder} where they
    belong. Minutes: `set_up` a sitting, `fixed` a coat, `per_dm2` a coat; the last is
    multiplied by (intricacy / 3) to the `power`. A sitting lasts `shortest` to `longest`
    minutes, set-up within. `cover` is the share of the panel its coat covers. `is_coat`: it
    leaves a film and is drawn in the cross-section as `role` says; `places_ground`: the ground
    colour must be settled before it; `lays_out`: the lay-out of the panel is drawn to scale
    for it; `unbroken`: a coat is laid in one go, for a lap shows where its edge
    dried; `disturbs`: it opens the old finish. `order` is its usual place among the stages.
    """

    key: str
    name: str
    client: str
    binder: str
    gate: str
    coats: int
    set_up: int
    fixed: int
    per_dm2: Decimal
    power: Decimal
    shortest: int
    longest: int
    cover: Decimal
    is_coat: bool
    role: str
    places_ground: bool
    lays_out: bool
    unbroken: bool
    disturbs: bool
    order: int
    cautions: tuple[str, ...]
    source: str


@cache
def stage_kinds() -> dict[str, StageKind]:
    """Every kind of stage by its key, in its usual order. ValueError names a bad row."""
    columns = {
        "key": Column(text),
        "name": Column(text),
        "client": Column(text),
        "binder": Column(one_of(binders())),
        "gate": Column(one_of(GATES)),
        "coats": optional(whole(1, MOST_COATS), 1),
        "set_up": Column(whole(0, 240)),
        "fixed": Column(whole(0, 600)),
        "per_dm2": Column(number(0, 600)),
        "power": optional(number(0, 3), Decimal(0)),
        "shortest": Column(whole(5, 480)),
        "longest": Column(whole(15, 600)),
        "cover": optional(number(0, 1), Decimal(1)),
        "is_coat": optional(yes_no, False),
        "role": optional(one_of(DEPTHS), "paint"),
        "places_ground": optional(yes_no, False),
        "lays_out": optional(yes_no, False),
        "unbroken": optional(yes_no, False),
        "disturbs": optional(yes_no, False),
        "order": Column(whole(1, 999)),
        "cautions": optional(many_of(cautions()), ()),
    }
    kinds = [_checked(row) for row in read_rows(DATA / "stages.toml", "stage", columns)]
    return {kind.key: kind for kind in sorted(kinds, key=lambda kind: kind.order)}


def _checked(row: dict[str, Any]) -> StageKind:
    kind = StageKind(**row)
    trouble = ""
    if kind.fixed + kind.per_dm2 == 0:
        trouble = "a stage needs hands-on time"
    elif not kind.shortest <= kind.longest or kind.longest <= kind.set_up:
        trouble = "longest must exceed the set-up and not fall short of shortest"
    elif kind.is_coat != binders()[kind.binder].leaves_film:
        trouble = "is_coat and the binder disagree on whether a film is left"
    if trouble:
        raise ValueError(f"stages.toml, {kind.key}: {trouble}")
    return kind


def stage_kind(key: str) -> StageKind:
    """The kind of stage of that key; ValueError when there is none."""
    try:
        return stage_kinds()[key]
    except KeyError:
        raise ValueError(f"There is no kind of stage '{key}'.") from None


def client_words(key: str, *, coats: int, binder: str) -> str:
    """What a stage is called on the estimate: "primed with three coats of acrylic gesso".

    `binder` is a binder's key. Several coats are told even where the kind's words have no
    place for them. ValueError for an unknown kind or binder.
    """
    words = stage_kind(key).client
    if coats > 1 and "{coats}" not in words:
        words += ", {coats}"
    return words.format(coats=coat_words(coats), binder=find_binder(binder).name)


def coat_words(coats: int) -> str:
    """A number of coats in words: "one coat", "two coats", "12 coats"."""
    count = _COUNTS[coats] if coats < len(_COUNTS) else str(coats)
    return f"{count} coat" if coats == 1 else f"{count} coats"
