"""The layering rules as data: under which conditions a coat is allowed, doubtful or refused."""

from dataclasses import dataclass
from functools import cache
from pathlib import Path
from string import Formatter
from typing import Any

from jobs.paint.binders import FAMILIES, ROLES
from jobs.paint.cautions import USES, cautions
from jobs.paint.gates import GATES, RECOAT, THROUGH_DRY
from jobs.paint.substrates import finishes, preparations, substrates
from jobs.paint.table import (
    Column,
    Reader,
    many_of,
    number,
    one_of,
    optional,
    read_rows,
    text,
    texts,
    whole,
    yes_no,
)

DATA = Path(__file__).parent / "data"

ALLOWED = "allowed"
CAUTION = "caution"
REFUSED = "refused"
LEVELS = (ALLOWED, CAUTION, REFUSED)
"""The verdicts, the gravest last."""

PLACEHOLDERS = frozenset(
    {
        *("upper", "lower", "Upper", "Lower", "wait_until", "isolating", "Substrate", "finish"),
        *("preparation", "ground", "um", "opened", "room_c", "lowest_c", "humidity"),
        *("pigments", "use"),
    }
)


@dataclass(frozen=True)
class Coat:
    """What a rule asks of one of the two coats: any of each list, an empty one asks nothing."""

    family: tuple[str, ...] = ()
    role: tuple[str, ...] = ()
    binder: tuple[str, ...] = ()
    kind: tuple[str, ...] = ()
    medium: tuple[str, ...] = ()
    pigment: tuple[str, ...] = ()
    hazard: tuple[str, ...] = ()


@dataclass(frozen=True)
class Rule:
    """One row of `rules.toml`, whose head says what each condition means.

    A condition that is None, empty or False asks nothing. Films are in microns, wet; luminance
    is Y from 0 to 1; humidity in per cent.
    """

    key: str
    topic: str
    verdict: str
    why: str
    mend: str
    isolating: str
    upper: Coat
    lower: Coat
    first: bool
    finish: tuple[str, ...]
    substrate: tuple[str, ...]
    use: tuple[str, ...]
    missing: str
    grain: bool
    without: tuple[str, ...]
    over_drawing: bool
    wet: bool
    early: bool
    before: str
    after: str
    window: float | None
    slower_by: float | None
    leaner_by: float | None
    thick_from: float | None
    thinner_by: float | None
    from_um: float | None
    to_um: float | None
    darker_than: float | None
    lighter_than: float | None
    pale: float | None
    coats_of_ground: int | None
    cold: bool
    damper_than: float | None
    source: str

    @property
    def waits_for(self) -> str:
        """The key of the gate that its mend lets the lower coat reach."""
        if self.wet:
            return RECOAT.key
        return self.before or THROUGH_DRY.key

    @property
    def needs_lower(self) -> bool:
        """Whether it speaks of a coat under the one it judges."""
        conditions = (self.wet, self.early, self.before, self.after)
        amounts = (self.window, self.slower_by, self.leaner_by, self.thinner_by)
        seen = (self.thick_from, self.darker_than, self.lighter_than)
        named = self.lower != Coat()
        return named or any(conditions) or any(each is not None for each in (*amounts, *seen))


def _float(low: float, high: float) -> Reader:
    read = number(low, high)
    return lambda value: float(read(value))


def _sentence(value: Any) -> str:
    words = text(value)
    unknown = {name for _, name, _, _ in Formatter().parse(words) if name} - PLACEHOLDERS
    if unknown:
        raise ValueError(f"unknown placeholder {', '.join(sorted(unknown))}")
    return words


def _columns() -> dict[str, Column]:
    some, yes = optional(texts, ()), optional(yes_no, False)
    microns, times = optional(_float(0, 5000), None), optional(_float(0, 100), None)
    share = optional(_float(0, 1), None)
    gate = optional(one_of(GATES), "")
    columns = {
        "key": Column(text),
        "topic": Column(text),
        "verdict": Column(one_of(LEVELS)),
        "why": Column(_sentence),
        "mend": Column(_sentence),
        "isolating": optional(text, ""),
        "finish": optional(many_of(finishes()), ()),
        "substrate": optional(many_of(substrates()), ()),
        "use": optional(many_of(USES), ()),
        "missing": optional(one_of(preparations()), ""),
        "without": some,
        "before": gate,
        "after": gate,
        "coats_of_ground": optional(whole(1, 10), None),
        "damper_than": optional(_float(0, 100), None),
    }
    columns |= dict.fromkeys(("first", "grain", "over_drawing", "wet", "early", "cold"), yes)
    columns |= dict.fromkeys(("slower_by", "leaner_by", "thinner_by"), times)
    columns |= dict.fromkeys(("thick_from", "from_um", "to_um"), microns)
    columns |= dict.fromkeys(("window", "darker_than", "lighter_than", "pale"), share)
    for place in ("upper", "lower"):
        columns[f"{place}_family"] = optional(many_of(FAMILIES), ())
        columns[f"{place}_role"] = optional(many_of(ROLES), ())
        columns[f"{place}_hazard"] = optional(many_of(cautions()), ())
        for name in ("binder", "kind", "medium", "pigment"):
            columns[f"{place}_{name}"] = some
    return columns


@cache
def rules(file: Path = DATA / "rules.toml") -> tuple[Rule, ...]:
    """Every rule in the order of the table. ValueError names a bad row."""
    table = []
    for row in read_rows(file, "rule", _columns()):
        coats = {}
        for place in ("upper", "lower"):
            names = [name for name in row if name.startswith(f"{place}_")]
            coats[place] = Coat(**{name.removeprefix(f"{place}_"): row.pop(name) for name in names})
        table.append(Rule(**row, **coats))
    return tuple(table)


def rule(key: str) -> Rule:
    """The rule of that key; ValueError when there is none."""
    for each in rules():
        if each.key == key:
            return each
    raise ValueError(f"There is no rule '{key}'.")
