"""What may go over what: one checker for every rule of `rules.toml`."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import datetime

from jobs.paint.cautions import USES
from jobs.paint.conditions import fits_both, ground_coats, holds, opened_until, poisons
from jobs.paint.drying import Climate
from jobs.paint.gates import GATES, quarter_up
from jobs.paint.pigments import Pigment
from jobs.paint.rules import ALLOWED, CAUTION, LEVELS, REFUSED, Rule, rules
from jobs.paint.stack import DRAWN_WITH, Case, Layer
from jobs.paint.substrates import finish as find_finish
from jobs.paint.substrates import preparations
from jobs.paint.substrates import substrate as find_substrate

__all__ = [
    "ALLOWED",
    "CAUTION",
    "DRAWN_WITH",
    "REFUSED",
    "Finding",
    "Layer",
    "Verdict",
    "findings",
    "judge",
    "open_share",
    "verdicts",
]


WET_IN_WET = "wet-in-wet"
"""The rule by which a coat is worked into one that is still open."""


@dataclass(frozen=True)
class Verdict:
    """What the rules say of the layer at `position` (from 0): why, and what mends it.

    `rule` is the key of the row it comes from, "" where no rule speaks. `wait_until` is when
    the coat under it reaches the gate that the mend waits for, where that is known.
    """

    level: str
    rule: str
    position: int
    why: str
    mend: str
    source: str
    wait_until: datetime | None = None

    @property
    def text(self) -> str:
        """Why it is so: the sentence a page shows."""
        return self.why


Finding = Verdict
"""A verdict that is not 'allowed'."""


def judge(
    stack: Sequence[Layer],
    next_layer: Layer,
    *,
    above: Sequence[Layer] = (),
    substrate: str = "",
    finish: str = "",
    use: str = "",
    at: datetime | None = None,
    dries_at: Mapping[str, datetime] | None = None,
    climate: Climate | None = None,
) -> Verdict:
    """The gravest verdict on laying `next_layer` over `stack`, bottom layer first.

    `above` is what the method has after it. `substrate` and `finish` are keys of their tables,
    "" where nothing is to be said of them, and so is `use` one of USES. `at` is when it is to
    be begun and `dries_at` when the coat under it reaches each gate by key ("none": when it was
    finished), aware and in the zone the words are to be in; without both, the gates that the
    method waits for count. With `climate`, what is too cold or damp to work with is told too.
    ValueError for an unknown binder, substrate, finish or gate, or an instant without its time
    zone.
    """
    case = Case(
        next_layer,
        tuple(stack),
        tuple(above),
        substrate=find_substrate(substrate) if substrate else None,
        finish=find_finish(finish) if finish else None,
        use=use,
        climate=climate,
        at=at,
        dries_at=dries_at or {},
    )
    found = verdicts(case)
    if found:
        return max(found, key=lambda one: LEVELS.index(one.level))
    words = ("No rule speaks against it.", "Nothing to mend.", "")
    return Verdict(ALLOWED, "", len(stack), *words)


def findings(
    layers: Sequence[Layer],
    *,
    climate: Climate | None = None,
    substrate: str = "",
    finish: str = "",
    use: str = "",
) -> tuple[Finding, ...]:
    """All that the rules hold against a method, bottom layer first, in the order of the layers.

    Layers that leave no film (sanding, drawing, washing) are looked through. Otherwise as
    `judge`, with the gates that the method waits for.
    """
    stuff = find_substrate(substrate) if substrate else None
    lying = find_finish(finish) if finish else None
    found: list[Finding] = []
    for place, layer in enumerate(layers):
        below, above = tuple(layers[:place]), tuple(layers[place + 1 :])
        piece = {"substrate": stuff, "finish": lying, "use": use}
        case = Case(layer, below, above, climate=climate, **piece)
        found += [one for one in verdicts(case) if one.level != ALLOWED]
    return tuple(found)


def verdicts(case: Case) -> tuple[Verdict, ...]:
    """What each topic has to say of one layer, in the order of the table.

    Of the rules that hold the gravest speaks for its topic, and of equals the first.
    ValueError for an unknown binder.
    """
    spoken: dict[str, Rule] = {}
    for rule in rules():
        if not holds(rule, case):
            continue
        other = spoken.get(rule.topic)
        if other is None or LEVELS.index(rule.verdict) > LEVELS.index(other.verdict):
            spoken[rule.topic] = rule
    return tuple(_verdict(rule, case) for rule in spoken.values())


def open_share(lower: Layer, upper: Layer) -> float | None:
    """The share of its wait to the touch for which a coat stays open to what is worked into it.

    None where the method waits for the lower coat, where the rules do not have the one worked
    into the other wet, and where they know no such share. ValueError for an unknown binder.
    """
    case = Case(upper, (lower,))
    if all(one.rule != WET_IN_WET for one in verdicts(case)):
        return None
    shares = [rule.window for rule in rules() if rule.window and fits_both(rule, case)]
    return min(shares, default=None)


def _verdict(rule: Rule, case: Case) -> Verdict:
    words = _words(rule, case)
    return Verdict(
        level=rule.verdict,
        rule=rule.key,
        position=len(case.below),
        why=rule.why.format(**words),
        mend=rule.mend.format(**words),
        source=rule.source,
        wait_until=case.dries_at.get(_gate(rule, case)) if "{wait_until}" in rule.mend else None,
    )


def _words(rule: Rule, case: Case) -> dict[str, str]:
    lower = case.lower.paint.name if case.lower else ""
    stuff = case.substrate.name if case.substrate else ""
    opened = opened_until(rule, case)
    coats = {0: "no coat", 1: "one coat"}
    room = case.climate or Climate()
    return {
        "upper": case.upper.paint.name,
        "Upper": _upper(case.upper.paint.name),
        "lower": lower,
        "Lower": _upper(lower),
        "isolating": rule.isolating,
        "Substrate": _upper(stuff),
        "finish": case.finish.name if case.finish else "",
        "preparation": preparations()[rule.missing].mend if rule.missing else "",
        "ground": coats.get(ground_coats(case), f"{ground_coats(case)} coats"),
        "um": f"{case.upper.film_um:.0f}",
        "opened": _day(opened, case) if opened else "",
        "wait_until": _wait(_gate(rule, case), case),
        "room_c": f"{room.temperature_c:g}",
        "lowest_c": f"{case.upper.paint.lowest_c:g}",
        "humidity": f"{room.humidity:g}",
        "pigments": _either(poisons(rule.upper, case.upper)),
        "use": USES.get(case.use, ""),
    }


def _either(pigments: Sequence[Pigment]) -> str:
    return " and ".join(dict.fromkeys(each.name.lower() for each in pigments))


def _gate(rule: Rule, case: Case) -> str:
    return case.lower.gate if rule.early and case.lower else rule.waits_for


def _wait(gate: str, case: Case) -> str:
    dry = f"it is {GATES[gate].label}"
    when = case.dries_at.get(gate)
    return f"{dry} (likely {_day(when, case)})" if when else dry


def _day(when: datetime, case: Case) -> str:
    now = case.at or when
    there = when.astimezone(now.tzinfo)
    if there.date() == now.date():
        return f"{quarter_up(there):%H:%M}"
    year = f" {there.year}" if there.year != now.year else ""
    return f"{there.day} {there:%B}{year}"


def _upper(words: str) -> str:
    return words[:1].upper() + words[1:]
