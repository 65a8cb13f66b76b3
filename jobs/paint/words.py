"""The tables of paint told in the painter's words: names and units for every column."""

import math
import re
import tomllib
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from decimal import Decimal
from functools import cache
from pathlib import Path
from typing import Any

from jobs.paint.gates import GATES
from jobs.paint.sources import Sourced, heading, sourced

FILE = Path(__file__).parent / "words.toml"

Show = Callable[[Decimal | float], str]
"""How a number is written where the words are read: 1,000.5 or 1.000,5."""

FOUR_IN_FIVE = 1.2816
"""Four values in five of a normal distribution lie within so many sigmas (tables of it)."""
HOURS_AS_HOURS = 72
"""A longer wait is told in days too, and one of less than an hour in minutes."""
_HUE = re.compile(r"P[A-Z](?:r|k)?(?=\d)")
_BLANK = re.compile(r"{(\w+)}")


@dataclass(frozen=True)
class TableWords:
    """A table by its key, the name of its file: its title, what it tells, if it stands apart."""

    key: str
    title: str
    about: str
    apart: bool = False


@dataclass(frozen=True)
class Fact:
    """One value of a row in words with its unit; `key` is its column, or its gate."""

    key: str
    label: str
    text: str


@dataclass(frozen=True)
class Told:
    """A row in words. `facts` stand beside its name, `fine` ones with its source.

    `group` is what its table gathers it under, "" where it gathers nothing; `colour` a hex
    colour or "".
    """

    key: str
    name: str
    group: str
    facts: tuple[Fact, ...]
    fine: tuple[Fact, ...]
    notes: tuple[str, ...]
    statements: tuple[str, ...]
    colour: str = ""

    def speaks_of(self, wanted: str) -> bool:
        """Whether each word of `wanted` stands somewhere in it, in capitals or not."""
        facts = (f"{each.label} {each.text}" for each in (*self.facts, *self.fine))
        said = (self.key, self.name, self.group, *facts, *self.notes, *self.statements)
        text = " ".join(said).casefold()
        return all(word in text for word in wanted.casefold().split())


@dataclass(frozen=True)
class _Column:
    name: str
    unit: str = ""
    unit_of: str = ""
    of: str = ""
    to: str = ""
    way: str = ""
    fine: bool = False


@cache
def tables() -> dict[str, TableWords]:
    """Every table by its key, in the painter's order; one without words comes last, apart."""
    found = dict.fromkeys(_key(row) for row in sourced())
    words = _words()["tables"]
    order = [*(key for key in words if key in found), *(key for key in found if key not in words)]
    table = {}
    for key in order:
        about = words.get(key) or {
            "title": _capital(_plain(key)),
            "about": heading(f"{key}.toml"),
        }
        told = about["title"], about["about"], about.get("apart", key not in words)
        table[key] = TableWords(key, *told)
    return table


@cache
def rows_of(table: str) -> tuple[Sourced, ...]:
    """The rows of a table, in its order; none for a table there is not."""
    return tuple(row for row in sourced() if _key(row) == table)


def told(table: str, show: Show) -> list[Told]:
    """The rows of a table in words, those of one group together."""
    left_out = _about(table).get("left_out", ())
    rows = [_told(table, row, show) for row in rows_of(table) if row.key not in left_out]
    listed = [
        _capital(name) for name in _words()["names"].get(_about(table).get("by"), {}).values()
    ]
    order = list(dict.fromkeys([*listed, *(row.group for row in rows)]))
    return sorted(rows, key=lambda row: order.index(row.group))


def lasting(hours: float, show: Show) -> str:
    """Hours in words: "36 h", or "420 h (17.5 days)", or "0.45 h (27 min)"."""
    words = f"{show(hours)} h"
    if 1 <= hours < HOURS_AS_HOURS:
        return words
    return f"{words} ({_span(hours, hours, show)})"


def named(of: str, key: str) -> str:
    """The name of a key of a table or of a list of names; the key itself in plain letters else."""
    if not key:
        return "nothing"
    if of == "gates" and key in GATES:
        return GATES[key].label
    listed = _words()["names"].get(of, {})
    if key in listed:
        return listed[key]
    found = next((row.name for row in rows_of(of) if row.key == key), "")
    return found or _plain(key)


def _told(table: str, row: Sourced, show: Show) -> Told:
    facts: list[Fact] = []
    fine: list[Fact] = []
    notes = []
    about = _about(table)
    for key, value in row.fields.items():
        column = _column(table, key)
        if column.way == "hidden" or key in ("key", "ci", "name", "source", about.get("by")):
            continue
        if column.way == "words":
            words = _filled(str(value), row)
            notes.append(f"{column.name}: {words}" if column.name else words)
        elif column.way == "waits":
            facts += _waits(value, show)
        else:
            into = fine if column.fine or about.get("fine") else facts
            into.append(Fact(key, column.name, _text(value, column, row.fields, show)))
    colour = str(row.fields.get("masstone", ""))
    name, group = _name(table, row), _group(table, row)
    kept = tuple(facts), tuple(fine), tuple(notes), row.statements
    return Told(row.key, name, group, *kept, colour=colour)


def _waits(waits: Mapping[str, Any], show: Show) -> list[Fact]:
    facts = []
    for gate, wait in waits.items():
        hours, sigma = float(wait["hours"]), float(wait["sigma"])
        words = lasting(hours, show)
        spread = math.exp(FOUR_IN_FIVE * sigma)
        least = float(wait.get("least", 0))
        low = max(hours / spread, least)
        words += f"; in four cases of five {_span(low, hours * spread, show)}"
        if least:
            words += f"; never under {show(least)} h"
        facts.append(Fact(gate, GATES[gate].label.capitalize(), words))
    return facts


def _span(low: float, high: float, show: Show) -> str:
    """From `low` to `high` hours in the unit that suits the longer."""
    unit, hours = "h", 1.0
    if high < 1:
        unit, hours = "min", 1 / 60
    elif high >= HOURS_AS_HOURS:
        unit, hours = "days", 24.0
    ends = [show(_short(each / hours)) for each in (low, high)]
    return f"{'–'.join(dict.fromkeys(ends))} {unit}"


def _short(number: float) -> float:
    """A number to two figures, to the half or to the whole: the sources know no more."""
    if number < 10:
        return float(f"{number:.2g}")
    return round(2 * number) / 2 if number < 20 else round(number)


def _text(value: Any, column: _Column, fields: Mapping[str, Any], show: Show) -> str:
    if isinstance(value, bool):
        return "yes" if value else "no"
    if isinstance(value, list):
        names = [named(column.of, str(each)) for each in value]
        apart = any("," in name or name[:1].isupper() for name in names)
        return ("; " if apart else ", ").join(names)
    if column.way == "year" or not isinstance(value, int | Decimal):
        return named(column.of, str(value)) if column.of else str(value)
    ends = [value, fields[column.to]] if column.to in fields else [value]
    if column.way == "hours":
        return _span(float(ends[0]), float(ends[-1]), show)
    unit = column.unit or str(fields.get(column.unit_of, ""))
    if column.way == "percent" or unit == "share":
        ends, unit = [each * 100 for each in ends], "%"
    if column.way == "times" and value == 1:
        return unit.removeprefix("times ")
    words = "–".join(dict.fromkeys(show(each) for each in ends))
    return f"{words} {_words()['names']['unit'].get(unit, unit)}".strip()


def _name(table: str, row: Sourced) -> str:
    if row.fields.get("name") or row.fields.get("title"):
        return _capital(row.name)
    names = (named(of, row.key) for of in _about(table).get("names_in", ()))
    return _capital(next((name for name in names if name != _plain(row.key)), _plain(row.key)))


def _group(table: str, row: Sourced) -> str:
    by = _about(table).get("by", "")
    if by == "hue":
        hue = _HUE.match(row.key)
        return named("hue", hue.group()) if hue else ""
    if not by:
        return ""
    return _capital(named(_column(table, by).of or by, str(row.fields.get(by, ""))))


def _filled(sentence: str, row: Sourced) -> str:
    """A sentence with its blanks filled as far as the row itself tells."""
    fields = row.fields
    blanks = dict(_words()["blanks"])
    blanks["upper"], blanks["lower"] = (_coat(place, fields) for place in ("upper", "lower"))
    if blanks["upper"] == blanks["lower"]:
        blanks["lower"] = f"earlier {blanks['lower']}"
    if "from_um" in fields:
        blanks["um"] = f"{fields['from_um']} to {fields['to_um']}"
    if "damper_than" in fields:
        blanks["humidity"] = f"more than {fields['damper_than']}"
    if "coats_of_ground" in fields:
        blanks["ground"] = f"fewer than {fields['coats_of_ground']} coats"
    if fields.get("isolating"):
        blanks["isolating"] = fields["isolating"]
    if fields.get("finish"):
        blanks["finish"] = _either("finishes", fields["finish"])
    if fields.get("substrate"):
        blanks["Substrate"] = _capital(_either("substrates", fields["substrate"]))
    for each in rows_of("preparations"):
        if each.key == fields.get("missing"):
            blanks["preparation"] = str(each.fields["mend"])
    for place in ("upper", "lower"):
        blanks[place.capitalize()] = _capital(blanks[place])
    return _BLANK.sub(lambda blank: blanks.get(blank.group(1), "…"), sentence)


def _coat(place: str, fields: Mapping[str, Any]) -> str:
    """What a rule calls one of its two coats: as narrowly as its conditions name it."""
    binder, family, role = (
        fields.get(f"{place}_{part}", ()) for part in ("binder", "family", "role")
    )
    if binder:
        return _either("binders", binder)
    if len(role) == 1 and role[0] != "paint":
        return _either("role", role)
    if family:
        return _either("family", family)
    return "paint" if not role or "paint" in role else _either("role", role)


def _either(of: str, keys: Sequence[str]) -> str:
    names = [named(of, key) for key in keys]
    *first, last = names
    return f"{', '.join(first)} or {last}" if first else last


def _column(table: str, key: str) -> _Column:
    words = _words()
    found = words["in"].get(table, {}).get(key) or words["columns"].get(key)
    if found is None:
        return _Column(_capital(_plain(key)))
    return _Column(
        found.get("name", ""),
        *(found.get(part, "") for part in ("unit", "unit_of", "of", "to", "as")),
        fine=found.get("fine", False),
    )


@cache
def _words() -> dict[str, Any]:
    return tomllib.loads(FILE.read_text(encoding="utf-8"))


def _key(row: Sourced) -> str:
    return row.file.removesuffix(".toml")


def _about(table: str) -> dict[str, Any]:
    return _words()["tables"].get(table, {})


def _capital(words: str) -> str:
    return words[:1].upper() + words[1:]


def _plain(key: str) -> str:
    return key.replace("-", " ").replace("_", " ")
