"""Where every value of the paint tables comes from, and how much of that has been published."""

import tomllib
from collections import Counter
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass, field
from decimal import Decimal
from functools import cache
from pathlib import Path
from typing import Any

from jobs.paint.table import Column, one_of, read_fields, text

DATA = Path(__file__).parent / "data"

_UNNAMED = ("not named", "artists' list", "supplier's note")
_PRACTICE = ("common practice", "no source")
_DEFINITION = "by definition"
_MEMORY = "from memory"
_PUBLICATIONS = Path(__file__).parent / "publications.toml"
FIRM = ("standard", "law", "paper", "book", "maker", "list")
APART = ("forum", "second-hand")
"""What a publication is, from the firmest on; those counted apart are the weakest."""
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
        """Whether all it says was read in known publications, forums and hearsay left out.

        One part from common practice, quoted from memory, or from what is not on the list of
        publications, and it is not.
        """
        return all(publication(part) in FIRM for part in self.statements)

    @property
    def partly(self) -> bool:
        """Whether it names publications, but not firm ones for all it says."""
        return not self.published and self.rests_on_publication

    @property
    def rests_on_publication(self) -> bool:
        """Whether its source names a known publication in which at least part of it was read.

        A forum is one too: `firmly` tells those apart.
        """
        return any(publication(part) for part in self.statements)

    @property
    def firmly(self) -> bool:
        """Whether at least part was read in a publication that is neither forum nor hearsay."""
        return any(publication(part) in FIRM for part in self.statements)


@dataclass(frozen=True)
class Tally:
    """How many rows claim something, and how far publications bear them out.

    `published` counts the rows of which all was read in firm publications, `partly` the others
    that name one. `firm` are those of both that name more than forums and second-hand pages.
    `statements` are the single parts of all sources, between semicolons, `kinds` how many of
    them were read in which kind of publication.
    """

    rows: int
    published: int
    partly: int
    firm: int
    statements: int
    kinds: Mapping[str, int]

    @property
    def read(self) -> int:
        """The statements read in a publication, of whatever kind."""
        return sum(self.kinds.values())

    @property
    def share_firm(self) -> float:
        """The share of rows that rest on more than forums and second-hand pages."""
        return self.firm / self.rows if self.rows else 0.0

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
    def words(self) -> str:
        """Both counts in a sentence or two for a page, the looser never without the stricter."""
        if not self.rows:
            return "Nothing here needs a source."
        return (
            f"Of {self.rows} rows {self.resting} ({self.share_resting:.1%}) name a publication in "
            f"which at least part of what they say was read; {self.firm} ({self.share_firm:.1%}) "
            f"if forums and second-hand pages are left out. Of {self.published} ({self.share:.1%} "
            f"of all) everything was. What remains is common practice, from memory, or from a page "
            f"that is not named, and each row says which of its parts is."
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
        sum(row.firmly for row in claims),
        sum(len(row.statements) for row in claims),
        Counter(kind for row in claims for part in row.statements if (kind := publication(part))),
    )


@cache
def publications() -> dict[str, str]:
    """Kind of each known publication by its name, as sources write it. ValueError for a bad row."""
    columns = {"name": Column(text), "kind": Column(one_of((*FIRM, *APART)))}
    rows = _content(_PUBLICATIONS)["publication"]
    found = [read_fields(row, columns) for row in rows]
    if len({row["name"] for row in found}) < len(found):
        raise ValueError(f"{_PUBLICATIONS.name}: a name stands there twice")
    return {row["name"]: row["kind"] for row in found}


@cache
def publication(statement: str) -> str:
    """The kind of publication that a statement of a source was read in; "" where in none.

    Of several that it names, the weakest counts; quoted from memory, none does.
    """
    if any(mark in statement for mark in (*_PRACTICE, _DEFINITION, _MEMORY, *_UNNAMED)):
        return ""
    named = [kind for name, kind in publications().items() if name in statement]
    return max(named, key=(*FIRM, *APART).index, default="")


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
