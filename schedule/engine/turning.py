"""What turning a piece costs at least: panels on faces that lie on one another, done by turns."""

from collections import defaultdict
from dataclasses import dataclass
from datetime import datetime
from itertools import product

from schedule.engine.problem import Panel, Problem
from schedule.engine.relaxation import Relaxed, Step
from schedule.engine.slots import SECOND

State = tuple[int, int, int, int]
"""When the first and the second panel go on, and until when the first and the second are wet."""


@dataclass(frozen=True, slots=True)
class _Side:
    """A panel on a face: its coats with how long each is wet, from when the first may be begun,
    until when the last coat on it is wet, and whether its face is laid on the other. In seconds."""

    coats: list[tuple[Step, int]]
    opens: int
    wet: int
    lies_on_the_other: bool


def turned(problem: Problem, relaxed: Relaxed) -> dict[str, int]:
    """Return the second before which a commission cannot be over for turning alone, by key.

    Of each two panels on faces one of which is laid on the other, every order of their coats is
    tried. Only the last sitting of a coat is taken to find the other face dry: between those
    before it, the piece may have been turned.
    """
    on_face: dict[str, list[Panel]] = defaultdict(list)
    for panel in problem.panels:
        if panel.face and panel.tasks and not panel.tasks[0].begun_by:
            on_face[panel.face].append(panel)
    lies_on = {face.key: set(face.lies_on) for face in problem.faces}
    pairs = {tuple(sorted((face, other))) for face in lies_on for other in lies_on[face]}
    found: dict[str, int] = {}
    for one, other in sorted(pairs):
        for panel, against in product(on_face[one], on_face[other]):
            sides = (
                _side(panel, problem, relaxed, lies_on_the_other=other in lies_on[one]),
                _side(against, problem, relaxed, lies_on_the_other=one in lies_on[other]),
            )
            if panel.commission == against.commission:
                over = _by_turns(*sides, relaxed.slot)
                found[panel.commission] = max(over, found.get(panel.commission, over))
    return found


def _side(panel: Panel, problem: Problem, relaxed: Relaxed, *, lies_on_the_other: bool) -> _Side:
    def second(moment: datetime) -> int:
        return (moment - relaxed.origin) // SECOND

    way = relaxed.ways[panel.key]
    opens, coats = way.opens, []
    for step, task in zip(way.steps, panel.tasks, strict=True):
        if step.by_hand:
            coats.append((step, task.gate.touchable // SECOND if task.gate else 0))
        elif coats:
            before, wet = coats[-1]
            waits = before.wait + step.wait
            coats[-1] = Step(before.work, waits, before.release, before.hands, True), wet
        else:
            opens += step.wait
    until = panel.wet_until or panel.opens or problem.now
    return _Side(coats, opens, second(max(until, problem.now)), lies_on_the_other)


def _by_turns(one: _Side, other: _Side, slot: int) -> int:
    """Return the second by which both panels can be over at the earliest, nothing else done."""
    states: dict[tuple[int, int], list[State]] = {}
    for i, j in product(range(len(one.coats) + 1), range(len(other.coats) + 1)):
        here = [] if i or j else [(one.opens, other.opens, one.wet, other.wet)]
        if i:
            here += [_laid(state, one, i - 1, slot) for state in states[i - 1, j]]
        if j:
            here += [
                _swapped(_laid(_swapped(state), other, j - 1, slot)) for state in states[i, j - 1]
            ]
        states[i, j] = _best(here)
    return min(max(state[:2]) for state in states[len(one.coats), len(other.coats)])


def _laid(state: State, side: _Side, number: int, slot: int) -> State:
    """Lay the next coat on the first panel, as early as may be."""
    ready, other, _, other_wet = state
    step, wet = side.coats[number]
    ready = max(ready, step.release)
    laid = _done(step, ready, step.work, slot)
    if side.lies_on_the_other and other_wet > ready:
        laid = max(laid, _done(step, other_wet, min(step.work, 1), slot))
    return laid + step.wait, other, laid + wet, other_wet


def _done(step: Step, second: int, work: int, slot: int) -> int:
    """Return the second by which so many slots of a step can be done from a second on."""
    first = max(0, -(-second // slot))
    slots = (hands.after(first, work) for hands in step.hands)
    return max(second, min(slots, default=first) * slot)


def _swapped(state: State) -> State:
    return state[1], state[0], state[3], state[2]


def _best(states: list[State]) -> list[State]:
    """Return the states to which no other is as good in everything."""
    kept: list[State] = []
    for state in sorted(set(states)):
        if not any(all(a <= b for a, b in zip(one, state, strict=True)) for one in kept):
            kept.append(state)
    return kept
