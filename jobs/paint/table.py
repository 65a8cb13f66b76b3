"""Read a table of trade values from TOML, refusing any row that is not fully understood."""

import tomllib
from collections.abc import Callable, Collection, Mapping
from dataclasses import dataclass
from decimal import Decimal
from functools import cache
from pathlib import Path
from typing import Any

CAUTIONS = Path(__file__).parent / "data" / "cautions.toml"

Reader = Callable[[Any], Any]


@dataclass(frozen=True)
class Column:
    """How one column is read. A column with a default may be left out of a row."""

    read: Reader
    default: Any = None
    required: bool = True


def optional(read: Reader, default: Any) -> Column:
    """A column that may be left out, and then has `default`."""
    return Column(read, default, required=False)


def text(value: Any) -> str:
    """Words, not blank."""
    if not isinstance(value, str) or not value.strip():
        raise ValueError("needs words")
    return value


def number(low: float, high: float) -> Reader:
    """A reader of a Decimal from `low` to `high`, both allowed."""
    least, most = Decimal(str(low)), Decimal(str(high))

    def read(value: Any) -> Decimal:
        if isinstance(value, bool) or not isinstance(value, int | Decimal):
            raise ValueError(f"needs a number, not {value!r}")
        if not least <= value <= most:
            raise ValueError(f"{value} is not between {low} and {high}")
        return Decimal(value)

    return read


def whole(low: int, high: int) -> Reader:
    """A reader of a whole number from `low` to `high`, both allowed."""

    def read(value: Any) -> int:
        if isinstance(value, bool) or not isinstance(value, int):
            raise ValueError(f"needs a whole number, not {value!r}")
        if not low <= value <= high:
            raise ValueError(f"{value} is not between {low} and {high}")
        return value

    return read


def yes_no(value: Any) -> bool:
    """True or false, nothing else."""
    if not isinstance(value, bool):
        raise ValueError(f"needs true or false, not {value!r}")
    return value


def one_of(choices: Collection[str]) -> Reader:
    """A reader of one word out of `choices`."""

    def read(value: Any) -> str:
        if value not in choices:
            raise ValueError(f"{value!r} is none of {', '.join(sorted(choices))}")
        return str(value)

    return read


def many_of(choices: Collection[str]) -> Reader:
    """A reader of a list of words, each out of `choices`."""
    read_one = one_of(choices)

    def read(value: Any) -> tuple[str, ...]:
        if not isinstance(value, list):
            raise ValueError(f"needs a list, not {value!r}")
        return tuple(read_one(item) for item in value)

    return read


def texts(value: Any) -> tuple[str, ...]:
    """A list of words; a blank one stands for nothing stated."""
    if not isinstance(value, list) or not all(isinstance(item, str) for item in value):
        raise ValueError(f"needs a list of words, not {value!r}")
    return tuple(value)


def read_fields(fields: Mapping[str, Any], columns: Mapping[str, Column]) -> dict[str, Any]:
    """The fields of one row, each by its column; ValueError names the column at fault."""
    unknown = sorted(set(fields) - set(columns))
    if unknown:
        raise ValueError(f"unknown column {', '.join(unknown)}")
    values: dict[str, Any] = {}
    for name, column in columns.items():
        if name not in fields:
            if column.required:
                raise ValueError(f"{name} is missing")
            values[name] = column.default
            continue
        try:
            values[name] = column.read(fields[name])
        except ValueError as trouble:
            raise ValueError(f"{name}: {trouble}") from trouble
    return values


def read_rows(
    file: Path, table: str, columns: Mapping[str, Column], *, key: str | tuple[str, ...] = "key"
) -> tuple[dict[str, Any], ...]:
    """All rows `[[table]]` of a TOML file, read by `columns`; every row must have a `source`.

    Raises ValueError naming file and row for an unknown column, a missing or wrong value,
    a missing source, or a `key` (a column, or several together) that occurs twice.
    """
    by = (key,) if isinstance(key, str) else key
    content = tomllib.loads(file.read_text(encoding="utf-8"), parse_float=Decimal)
    if set(content) != {table}:
        raise ValueError(f"{file.name}: expects only rows [[{table}]]")
    rows: dict[tuple[Any, ...], dict[str, Any]] = {}
    for place, fields in enumerate(content[table], start=1):
        told = " ".join(str(fields[column]) for column in by if column in fields)
        label = f"{file.name}, row {place} ({told or 'no ' + by[0]})"
        try:
            row = read_fields(fields, {**columns, "source": Column(text)})
        except ValueError as trouble:
            raise ValueError(f"{label}: {trouble}") from trouble
        place_of = tuple(row[column] for column in by)
        if place_of in rows:
            raise ValueError(f"{label}: {by[0]} occurs twice")
        rows[place_of] = row
    return tuple(rows.values())


@cache
def caution_keys() -> tuple[str, ...]:
    """The keys of the cautions, which binders and pigments name; `cautions.py` reads the rest."""
    content = tomllib.loads(CAUTIONS.read_text(encoding="utf-8"))
    return tuple(str(row.get("key", "")) for row in content["caution"])
