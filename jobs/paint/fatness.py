"""How fat a coat is: the order of coats by their oil, for fat over lean."""

from dataclasses import dataclass
from functools import cache
from pathlib import Path

from jobs.paint.table import Column, number, optional, read_rows, text, yes_no

FILE = Path(__file__).parent / "data" / "fatness.toml"

_TUBE_COLOUR = "oil"


@dataclass(frozen=True)
class Fatness:
    """Steps of oil in a binder as it comes, or (`medium`) what a medium adds to a coat's."""

    key: str
    name: str
    steps: float
    medium: bool
    source: str


@cache
def fatnesses() -> dict[str, Fatness]:
    """Every row by its key. ValueError names a bad row."""
    columns = {
        "key": Column(text),
        "name": Column(text),
        "steps": Column(number(-5, 5)),
        "medium": optional(yes_no, False),
    }
    rows = read_rows(FILE, "fatness", columns)
    return {row["key"]: Fatness(**{**row, "steps": float(row["steps"])}) for row in rows}


def fatness(binder: str, medium: str = "") -> float:
    """How fat a coat of oil is, in steps. A binder without a row counts as tube colour.

    A medium without a row adds nothing.
    """
    table = fatnesses()
    own = table.get(binder)
    added = table.get(medium)
    steps = own.steps if own and not own.medium else table[_TUBE_COLOUR].steps
    return steps + (added.steps if added and added.medium else 0)
