"""Usual cautions, and what calls for each. Information, never in place of local rules."""

from collections.abc import Collection
from dataclasses import dataclass
from functools import cache

from jobs.paint.binders import binder
from jobs.paint.pigments import pigments as known_pigments
from jobs.paint.substrates import finishes
from jobs.paint.table import CAUTIONS, Column, many_of, optional, read_rows, text, whole, yes_no

DEFERRING = (
    "Usual cautions of the trade. They inform; local rules, the maker’s safety data sheet and "
    "licensed practice come first."
)
"""What stands over every list of cautions on paper."""

USES: dict[str, str] = {
    "everyday": "everyday use",
    "display": "for show",
    "child": "a child's furniture",
    "food": "touches food",
}
"""What the piece will be used for: key and words."""


@dataclass(frozen=True)
class Caution:
    """One caution. `client` says that it concerns the client too and prints on her papers.

    With some uses of the piece it does so all the same: `client_uses`. `to_client` is what she
    reads in place of `text`, "" where it never concerns her. Apart from binders,
    pigments and stages that name it, it is called for by a use, or by an existing finish on a
    piece made before `before_year` or of unknown age.
    """

    key: str
    title: str
    text: str
    client: bool
    uses: tuple[str, ...]
    finishes: tuple[str, ...]
    before_year: int | None
    source: str
    client_uses: tuple[str, ...] = ()
    to_client: str = ""

    def concerns_client(self, use: str) -> bool:
        """Whether the owner of a piece for that use (a key of USES) is to be told of it."""
        return self.client or use in self.client_uses


_COLUMNS = {
    "key": Column(text),
    "title": Column(text),
    "text": Column(text),
    "client": Column(yes_no),
    "uses": optional(many_of(USES), ()),
    "finishes": optional(many_of(finishes()), ()),
    "before_year": optional(whole(1500, 2100), None),
    "client_uses": optional(many_of(USES), ()),
    "to_client": optional(text, ""),
}


@cache
def cautions() -> dict[str, Caution]:
    """Every caution by its key, in the order they are printed. ValueError names a bad row."""
    return {row["key"]: Caution(**row) for row in read_rows(CAUTIONS, "caution", _COLUMNS)}


def cautions_for(
    *,
    binders: Collection[str] = (),
    pigments: Collection[str] = (),
    named: Collection[str] = (),
    built_in_year: int | None = None,
    existing_finish: str = "unknown",
    use: str = "everyday",
) -> tuple[Caution, ...]:
    """The cautions a piece of work calls for, in the order they are printed.

    `binders` are keys, `pigments` Colour Index names (one that is not in the table adds
    nothing), `named` the keys of cautions that the work itself names; `built_in_year` is None
    when the age is not known, and then counts as old. ValueError for an unknown binder,
    caution, finish or use.
    """
    if existing_finish not in finishes():
        raise ValueError(f"There is no finish '{existing_finish}'.")
    if use not in USES:
        raise ValueError(f"There is no use '{use}'.")
    if unknown := set(named) - set(cautions()):
        raise ValueError(f"There is no caution '{min(unknown)}'.")
    called = set(named)
    for key in binders:
        called.update(binder(key).hazards)
    called.update(known_pigments()[ci].hazard for ci in pigments if ci in known_pigments())
    return tuple(
        caution
        for caution in cautions().values()
        if caution.key in called
        or use in caution.uses
        or (existing_finish in caution.finishes and _old(caution, built_in_year))
    )


def _old(caution: Caution, year: int | None) -> bool:
    return year is None or caution.before_year is None or year < caution.before_year
