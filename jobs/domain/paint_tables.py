"""The paint tables as a studio reads them: what the table says, and beside it what is hers."""

from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass
from decimal import Decimal

from jobs.domain.own_values import BINDERS, PIGMENTS, own_columns
from jobs.models import OwnValue, Supply
from jobs.paint.binders import Binder, binders
from jobs.paint.sources import Tally, tally
from jobs.paint.words import Fact, TableWords, Told, lasting, named, rows_of, tables, told
from studio.formats import show_number
from studio.models import Studio

SUPPLIED: Mapping[str, tuple[str, Callable[[Binder], Decimal | int | None], str]] = {
    "rate": ("spread_rate", lambda paint: paint.rate, "m² a coat"),
    "waste": ("waste", lambda paint: paint.waste * 100, "%"),
    "pack_ml": ("pack_ml", lambda paint: paint.pack_ml, "ml"),
}
"""What her materials say of a binder: by column their field, the table's value and the unit."""


@dataclass(frozen=True)
class Said:
    """One value: the table's words, and the studio's own where it counts with another."""

    fact: Fact
    yours: str = ""


@dataclass(frozen=True)
class Row:
    """A row with what is hers. `supply` is where she changes how far a paint goes, or None."""

    told: Told
    said: tuple[Said, ...]
    may_own: bool
    reasons: tuple[str, ...] = ()
    supply: Supply | None = None
    has_own: bool = False


@dataclass(frozen=True)
class TableShown:
    """A table on the page that lists them, with its rows counted."""

    words: TableWords
    rows: int
    tally: Tally
    own: int


def all_tables(studio: Studio) -> list[TableShown]:
    """Return every table, counted, with how many rows of it the studio says otherwise."""
    own = {(each.table, each.row) for each in studio.own_values.all()}
    shown = []
    for key, words in tables().items():
        rows = told(key, str)
        counted = {row.key for row in rows}
        sources = [row for row in rows_of(key) if row.key in counted]
        hers = sum(table == key and row in counted for table, row in own)
        shown.append(TableShown(words, len(rows), tally(sources), hers))
    return shown


def rows(studio: Studio, table: str, *, wanted: str = "") -> list[Row]:
    """Return the rows of a table that speak of what is wanted, those of one group together."""
    own: dict[str, dict[str, OwnValue]] = {}
    for each in studio.own_values.filter(table=table):
        own.setdefault(each.row, {})[each.column] = each
    supplies = {each.binder: each for each in studio.supplies.all()} if table == BINDERS else {}
    found = [row for row in told(table, _show(studio)) if row.speaks_of(wanted)]
    return [_row(studio, table, row, own.get(row.key, {}), supplies.get(row.key)) for row in found]


def row_of(studio: Studio, table: str, key: str) -> Row | None:
    """Return one row, or None where the table has none of that key."""
    return next((row for row in rows(studio, table) if row.told.key == key), None)


def beside_table(supplies: Iterable[Supply], studio: Studio) -> list[tuple[Supply, dict[str, str]]]:
    """Return each material with what the paint table says otherwise, by field, in words."""
    return [(supply, _otherwise(supply, studio)) for supply in supplies]


def _row(
    studio: Studio, table: str, row: Told, own: Mapping[str, OwnValue], supply: Supply | None
) -> Row:
    yours = {column: _own_words(table, each, studio) for column, each in own.items()}
    if supply:
        for column, (name, _, unit) in SUPPLIED.items():
            if name in _otherwise(supply, studio):
                yours[column] = f"{show_number(getattr(supply, name), studio)} {unit}"
    return Row(
        row,
        tuple(Said(fact, yours.get(fact.key, "")) for fact in row.facts),
        may_own=bool(own_columns(table, row.key)),
        reasons=tuple(dict.fromkeys(each.reason for each in own.values() if each.reason)),
        supply=supply,
        has_own=bool(own),
    )


def _own_words(table: str, own: OwnValue, studio: Studio) -> str:
    if table == PIGMENTS:
        return named(own.column, own.value)
    return lasting(float(own.value), _show(studio))


def _otherwise(supply: Supply, studio: Studio) -> dict[str, str]:
    paint = binders().get(supply.binder)
    if paint is None:
        return {}
    table = {name: value(paint) for name, value, _ in SUPPLIED.values()}
    return {
        name: show_number(value, studio)
        for name, value in table.items()
        if value is not None and value != getattr(supply, name)
    }


def _show(studio: Studio) -> Callable[[Decimal | float], str]:
    return lambda number: show_number(number, studio)
