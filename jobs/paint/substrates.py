"""What a piece is made of, what lies on it when it comes in, and what that needs first."""

from collections.abc import Collection
from dataclasses import dataclass
from functools import cache
from pathlib import Path

from jobs.paint.binders import ROLES, Binder, binders
from jobs.paint.table import Column, many_of, optional, read_rows, text, texts, yes_no

DATA = Path(__file__).parent / "data"


@dataclass(frozen=True)
class Preparation:
    """Something done to a piece before its first coat.

    A stage does it when its kind is among `kinds`, worked with one of `binders` where there are
    any, or its binder's role is among `roles`. `name` follows "the piece is", `mend` says how
    it is done.
    """

    key: str
    name: str
    mend: str
    kinds: tuple[str, ...]
    binders: tuple[str, ...]
    roles: tuple[str, ...]
    source: str

    def done_by(self, kind: str, paint: Binder) -> bool:
        """Whether a stage of that kind, worked with that binder, does it."""
        worked = not self.binders or paint.key in self.binders
        return (kind in self.kinds and worked) or paint.role in self.roles


@dataclass(frozen=True)
class Substrate:
    """What a piece is made of. `needs` are keys of preparations, wanted where it lies bare.

    `grain` says whether water raises its grain. `client` is what the client reads of it, "" for
    nothing; `drawn` its word under a cross-section.
    """

    key: str
    name: str
    drawn: str
    client: str
    needs: tuple[str, ...]
    grain: bool
    note: str
    source: str


@dataclass(frozen=True)
class Finish:
    """What lies on a piece when it comes in, and the keys of the preparations it needs.

    `client` is what the client reads of it; `drawn` its words under a cross-section, with
    … for that of the material.
    """

    key: str
    name: str
    drawn: str
    client: str
    needs: tuple[str, ...]
    note: str
    source: str


@cache
def preparations() -> dict[str, Preparation]:
    """Every preparation by its key. ValueError names a bad row."""
    columns = {
        "key": Column(text),
        "name": Column(text),
        "mend": Column(text),
        "kinds": optional(texts, ()),
        "binders": optional(many_of(binders()), ()),
        "roles": optional(many_of(ROLES), ()),
    }
    rows = read_rows(DATA / "preparations.toml", "preparation", columns)
    return {row["key"]: Preparation(**row) for row in rows}


def _columns() -> dict[str, Column]:
    return {
        "key": Column(text),
        "name": Column(text),
        "client": optional(text, ""),
        "needs": optional(many_of(preparations()), ()),
        "note": optional(text, ""),
    }


@cache
def substrates() -> dict[str, Substrate]:
    """Every substrate by its key. ValueError names a bad row."""
    columns = {**_columns(), "grain": optional(yes_no, False), "drawn": optional(text, "wood")}
    rows = read_rows(DATA / "substrates.toml", "substrate", columns)
    return {row["key"]: Substrate(**row) for row in rows}


@cache
def finishes() -> dict[str, Finish]:
    """Every existing finish by its key. ValueError names a bad row."""
    rows = read_rows(DATA / "finishes.toml", "finish", {**_columns(), "drawn": Column(text)})
    return {row["key"]: Finish(**row) for row in rows}


def substrate(key: str) -> Substrate:
    """The substrate of that key; ValueError when there is none."""
    try:
        return substrates()[key]
    except KeyError:
        raise ValueError(f"There is no substrate '{key}'.") from None


def finish(key: str) -> Finish:
    """The finish of that key; ValueError when there is none."""
    try:
        return finishes()[key]
    except KeyError:
        raise ValueError(f"There is no finish '{key}'.") from None


def lies_under(substrate_key: str, finish_key: str) -> str:
    """What a cross-section calls the piece under its first coat: 'bare wood', 'old paint'.

    ValueError for an unknown substrate or finish.
    """
    return finish(finish_key).drawn.replace("…", substrate(substrate_key).drawn)


def needs(substrate_key: str, finish_key: str) -> tuple[Preparation, ...]:
    """What a piece needs before its first coat: its finish's needs, and its wood's where bare.

    ValueError for an unknown substrate or finish.
    """
    stuff, lying = substrate(substrate_key), finish(finish_key)
    wanted: Collection[str] = (*lying.needs, *(stuff.needs if lying.key == "bare" else ()))
    return tuple(each for key, each in preparations().items() if key in wanted)
