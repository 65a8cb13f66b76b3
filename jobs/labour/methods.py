"""Method sheets as shipped, and the single rules of the trade on labour."""

from dataclasses import dataclass
from functools import cache
from typing import Any

from jobs.labour.stages import DATA, MOST_COATS, StageKind, stage_kind, stage_kinds
from jobs.paint.binders import binders
from jobs.paint.gates import GATES
from jobs.paint.layers import Layer
from jobs.paint.table import Column, one_of, optional, read_fields, read_rows, text, whole


@dataclass(frozen=True)
class SheetStage:
    """One stage of a method sheet, with the usual values of its kind filled in."""

    kind: StageKind
    binder: str
    coats: int
    gate: str

    @property
    def layer(self) -> Layer:
        """The stage as the layering rules see it."""
        return Layer(self.binder, self.gate, self.coats, kind=self.kind.key)


@dataclass(frozen=True)
class MethodSheet:
    """An ordered list of stages under a name."""

    key: str
    name: str
    note: str
    stages: tuple[SheetStage, ...]
    source: str


def _stages(value: Any) -> tuple[SheetStage, ...]:
    if not isinstance(value, list) or not value:
        raise ValueError("a method needs stages")
    columns = {
        "kind": Column(one_of(stage_kinds())),
        "binder": optional(one_of(binders()), ""),
        "coats": optional(whole(1, MOST_COATS), 0),
        "gate": optional(one_of(GATES), ""),
    }
    stages = []
    for fields in value:
        row = read_fields(fields, columns)
        kind = stage_kind(row["kind"])
        stages.append(
            SheetStage(
                kind=kind,
                binder=row["binder"] or kind.binder,
                coats=row["coats"] or kind.coats,
                gate=row["gate"] or kind.gate,
            )
        )
    return tuple(stages)


@cache
def method_sheets() -> dict[str, MethodSheet]:
    """Every shipped method sheet by its key. ValueError names a bad row."""
    columns = {
        "key": Column(text),
        "name": Column(text),
        "note": optional(text, ""),
        "stages": Column(_stages),
    }
    rows = read_rows(DATA / "methods.toml", "method", columns)
    return {row["key"]: MethodSheet(**row) for row in rows}


@dataclass(frozen=True)
class LabourRule:
    """One value of the trade, why it is so, and where it comes from."""

    key: str
    value: int
    text: str
    source: str


@cache
def labour_rules() -> dict[str, LabourRule]:
    """The single rules by key. ValueError names a bad row."""
    columns = {"key": Column(text), "value": Column(whole(0, 1000)), "text": Column(text)}
    rows = read_rows(DATA / "rules.toml", "rule", columns)
    return {row["key"]: LabourRule(**row) for row in rows}


UNDECIDED_GROUND_EXTRA_COATS: int = labour_rules()["undecided-ground-extra-coats"].value
"""Coats of ground colour priced on top while the client has not settled it."""
LEAST_MINUTES_LEFT: int = labour_rules()["least-minutes-left"].value
"""Minutes that a coat begun and not finished still needs, however long it has taken."""
OVER_RUN_PERCENT: int = labour_rules()["over-run-percent"].value
"""Of the minutes a coat took so far, the part still to come once it took longer than reckoned."""
