"""The care of painted furniture in plain words, by what it is painted with."""

from collections.abc import Collection
from dataclasses import dataclass
from functools import cache
from pathlib import Path

from jobs.paint.binders import FAMILIES, binder
from jobs.paint.pigments import pigments as known_pigments
from jobs.paint.table import Column, many_of, optional, read_rows, text, yes_no

FILE = Path(__file__).parent / "data" / "care.toml"

VARNISH, PAINT = "varnish", "paint"
TOPS = (VARNISH, PAINT)
"""What lies uppermost: varnish, or anything else that was painted."""

_FADING = ("III", "IV", "V")


@dataclass(frozen=True)
class Care:
    """One piece of advice, and what must be so of the paint for it to be given.

    A `harmful` one is told under the colours that can harm, and not elsewhere.
    """

    key: str
    text: str
    tops: tuple[str, ...]
    families: tuple[str, ...]
    fades: bool
    harmful: bool
    source: str


_COLUMNS = {
    "key": Column(text),
    "text": Column(text),
    "tops": optional(many_of(TOPS), ()),
    "families": optional(many_of(FAMILIES), ()),
    "fades": optional(yes_no, False),
    "harmful": optional(yes_no, False),
}


@cache
def care_rows() -> dict[str, Care]:
    """Every piece of advice by its key, in the order printed. ValueError names a bad row."""
    return {row["key"]: Care(**row) for row in read_rows(FILE, "care", _COLUMNS)}


def care_for(
    *, tops: Collection[str] = (), binders: Collection[str] = (), pigments: Collection[str] = ()
) -> tuple[Care, ...]:
    """The advice for a piece, in the order it is printed.

    `tops` are the binders uppermost on its faces, `binders` those of all its coats (keys),
    `pigments` Colour Index names; one that is not in the table adds nothing. ValueError for an
    unknown binder.
    """
    uppermost = {VARNISH if binder(key).role == VARNISH else PAINT for key in tops}
    families = {binder(key).family for key in binders}
    known = [known_pigments()[ci] for ci in pigments if ci in known_pigments()]
    fading = any(each.lightfast in _FADING for each in known)
    return tuple(
        row
        for row in care_rows().values()
        if not row.harmful
        and (not row.tops or uppermost & set(row.tops))
        and (not row.families or families & set(row.families))
        and (fading or not row.fades)
    )


def care_of_harmful() -> tuple[Care, ...]:
    """The advice that stands under the colours that can harm."""
    return tuple(row for row in care_rows().values() if row.harmful)
