"""Where every value of the paint tables comes from, and how much of that has been published."""

import tomllib
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass, field
from decimal import Decimal
from functools import cache
from pathlib import Path
from typing import Any

DATA = Path(__file__).parent / "data"

_UNNAMED = ("not named", "artists' list", "supplier's note")
_PRACTICE = ("common practice", "no source")
_DEFINITION = "by definition"
_MEMORY = "from memory"
_NOT_VALUES = ("key", "ci", "variety", "name", "source")


@dataclass(frozen=True)
class Sourced:
    """One row of a table: file, table and key, its name, its values as words, its source.

    `fields` are its columns as they stand in the file.
    """

    file: str
    table: str
    key: str
    name: str
    values: Mapping[str, str]
    source: str
    fields: Mapping[str, Any] = field(default_factory=dict, compare=False, repr=False)

    @property
    def by_definition(self) -> bool:
        """Whether it claims nothing that a source could bear out, such as "bare wood"."""
        return self.source.startswith(_DEFINITION)

    @property
    def statements(self) -> tuple[str, ...]:
        """What its source says part by part, such as "rate: a maker's sheet"."""
        return tuple(part.strip() for part in self.source.split(";") if part.strip())

    @property
    def published(self) -> bool:
        """Whether all it says was read in the publications it names.

        One part from common practice, quoted from memory, or from a page that is not named,
        and it is not.
        """
        return all(_read(part) for part in self.statements)

    @property
    def partly(self) -> bool:
        """Whether some of what it says was read in a publication it names, but not all."""
        return not self.published and self.rests_on_publication

    @property
    def rests_on_publication(self) -> bool:
        """Whether its source names a publication in which at least part of it was read."""
        return any(_read(part) for part in self.statements)


@dataclass(frozen=True)
class Tally:
    """How many rows claim something, and how far publications bear them out.

    `published` counts the rows that were read in publications with all they say, `partly`
    those of which some was and some was not. `statements` are the single parts of all sources,
    between semicolons, `read` those of them that name a publication and do not quote it from
    memory.
    """

    rows: int
    published: int
    partly: int
    statements: int
    read: int

    @property
    def resting(self) -> int:
        """The rows whose source names a publication in which at least part of them was read."""
        return self.published + self.partly

    @property
    def share_resting(self) -> float:
        """The share of such rows, 0 to 1; 0 where there are no rows."""
        return self.resting / self.rows if self.rows else 0.0

    @property
    def share(self) -> float:
        """The share of rows published with all they say, 0 to 1; 0 where there are no rows."""
        return self.published / self.rows if self.rows else 0.0

    @property
    def share_of_statements(self) -> float:
        """The share of single statements read in a publication; 0 where there are none."""
        return self.read / self.statements if self.statements else 0.0

    @property
    def words(self) -> str:
        """Both counts in a sentence or two for a page, the looser never without the stricter."""
        if not self.rows:
            return "Nothing here needs a source."
        return (
            f"Of {self.rows} rows {self.resting} ({self.share_resting:.1%}) name a publication in "
            f"which at least part of what they say was read; of {self.published} of these "
            f"({self.share:.1%} of all) everything was. What remains is common practice, from "
            f"memory, or from a page that is not named, and each row says which of its parts is."
        )


@cache
def sourced(folder: Path = DATA) -> tuple[Sourced, ...]:
    """Every row of every table in the folder, by file name and then in the table's order.

    A file is found by being there: a new table needs no code. ValueError names a row without
    a source.
    """
    return tuple(
        row for file in sorted(folder.glob("*.toml")) for row in _rows(file, _content(file))
    )


def heading(file: str, folder: Path = DATA) -> str:
    """What the head of a data file says of all its rows: its leading comment as one paragraph.

    ValueError for a file that is not one of the tables.
    """
    path = folder / file
    if path not in folder.glob("*.toml"):
        raise ValueError(f"There is no table '{file}'.")
    words = []
    for line in path.read_text(encoding="utf-8").splitlines():
        if not line.startswith("#"):
            break
        words.append(line.removeprefix("#").strip())
    return " ".join(words)


def tally(rows: Iterable[Sourced]) -> Tally:
    """Rows counted by their source, those left out that are so by definition."""
    claims = [row for row in rows if not row.by_definition]
    return Tally(
        len(claims),
        sum(row.published for row in claims),
        sum(row.partly for row in claims),
        sum(len(row.statements) for row in claims),
        sum(_read(part) for row in claims for part in row.statements),
    )


def _content(file: Path) -> dict[str, Any]:
    return tomllib.loads(file.read_text(encoding="utf-8"), parse_float=Decimal)


def _rows(file: Path, content: Mapping[str, Any]) -> Iterator[Sourced]:
    for table, rows in content.items():
        for fields in rows:
            key = str(fields.get("key") or f"{fields.get('ci', '')} {fields.get('variety', '')}")
            key = key.strip()
            if not str(fields.get("source", "")).strip():
                raise ValueError(f"{file.name}, {key or table}: source is missing")
            values = {name: _words(each) for name, each in fields.items() if _is_value(name)}
            name = str(fields.get("name") or fields.get("title") or key)
            yield Sourced(file.name, table, key, name, values, fields["source"], fields)


def _is_value(column: str) -> bool:
    return column not in _NOT_VALUES


def _words(value: Any) -> str:
    if isinstance(value, bool):
        return "yes" if value else "no"
    if isinstance(value, Mapping):
        return ", ".join(f"{name} {_words(each)}" for name, each in value.items())
    if isinstance(value, list):
        return ", ".join(_words(each) or "none" for each in value)
    return str(value)


def _read(part: str) -> bool:
    return not any(mark in part for mark in (*_PRACTICE, _DEFINITION, _MEMORY, *_UNNAMED))
