"""What a studio would do without weaving: plans by the same decoder, to be compared with."""

from dataclasses import dataclass, replace

from schedule.engine.decoder import decode
from schedule.engine.outcome import express
from schedule.engine.pins import Ground, settled
from schedule.engine.plan import Plan
from schedule.engine.problem import Problem
from schedule.engine.rules import wanted_first


@dataclass(frozen=True, slots=True)
class Baselines:
    """Plans of the same work without pins: one panel after another, one commission after another,
    and the simple rule, by which of what is ready the earliest wanted goes first."""

    one_panel: Plan
    one_commission: Plan
    simple_rule: Plan


def baselines(problem: Problem) -> Baselines:
    """Return the plans to compare a woven one with.

    One after another means that the next is not touched before the hands-on work on the one before
    is done; what is begun goes first, then what is wanted first.
    """
    ground = settled(replace(problem, pins=(), freeze=None), wanted_first)
    return Baselines(
        one_panel=_in_series(ground, _panel_order(ground)),
        one_commission=_in_series(ground, _commission_order(ground)),
        simple_rule=express(ground.works, ground.run, ground.stops),
    )


def _in_series(ground: Ground, series: list[int]) -> Plan:
    run = decode(ground.works, ground.keys, stops=ground.stops, series=series)
    return express(ground.works, run, ground.stops)


def _first_key(ground: Ground, p: int) -> float:
    works = ground.works
    return ground.keys[works.first[p]] if works.first[p] < works.last[p] else 0.0


def _commission_order(ground: Ground) -> list[int]:
    works = ground.works
    order = sorted(
        range(len(works.panels)),
        key=lambda p: (not _is_begun(ground, works.commission_of[p]), _first_key(ground, p), p),
    )
    place: dict[int, int] = {}
    for p in order:
        place.setdefault(works.commission_of[p], len(place))
    return [place[c] for c in works.commission_of]


def _is_begun(ground: Ground, commission: int) -> bool:
    works = ground.works
    return any(
        begun and works.commission_of[p] == commission for p, begun in enumerate(works.begun)
    )


def _panel_order(ground: Ground) -> list[int]:
    works = ground.works
    commissions = _commission_order(ground)
    order = sorted(
        range(len(works.panels)),
        key=lambda p: (not works.begun[p], commissions[p], _first_key(ground, p), p),
    )
    place = {p: n for n, p in enumerate(order)}
    return [place[p] for p in range(len(works.panels))]
