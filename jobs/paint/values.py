"""Single values the engines count with, each with its range and its source."""

from dataclasses import dataclass
from functools import cache
from pathlib import Path

from jobs.paint.table import Column, number, optional, read_rows, text

DATA = Path(__file__).parent / "data"


@dataclass(frozen=True)
class Value:
    """One value in `unit`; `low` and `high` say how far sources or practice differ."""

    key: str
    name: str
    value: float
    low: float
    high: float
    unit: str
    source: str


@cache
def values(file: str) -> dict[str, Value]:
    """The rows `[[value]]` of a data file such as 'hiding.toml', by key.

    ValueError names a bad row, or one whose value lies outside its own range.
    """
    any_number = number(0, 1_000_000)
    columns = {
        "key": Column(text),
        "name": Column(text),
        "value": Column(any_number),
        "low": optional(any_number, None),
        "high": optional(any_number, None),
        "unit": optional(text, ""),
    }
    table = {}
    for row in read_rows(DATA / file, "value", columns):
        for column in ("value", "low", "high"):
            found = row[column]
            row[column] = float(row["value"] if found is None else found)
        if not row["low"] <= row["value"] <= row["high"]:
            raise ValueError(f"{file}, {row['key']}: the value lies outside its range")
        table[row["key"]] = Value(**row)
    return table
