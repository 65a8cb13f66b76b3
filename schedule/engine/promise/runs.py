"""Where a step may begin: it needs open time on end, and a wet run all that it takes after it."""

from collections.abc import Sequence

import numpy as np

from schedule.engine.promise.axis import Axis
from schedule.engine.promise.steps import Step

Shape = tuple[object, ...]


def first_places(steps: Sequence[Step], axis: Axis) -> tuple[np.ndarray, np.ndarray]:
    """Return the number of each step's row, and the rows: where it may begin from a slot on.

    The last of either is for no step. A coat that others are worked into while it is wet begins
    only where, by what was planned, all of them can be done in time; where that is nowhere, as
    after a change of hours, its own need has to do.
    """
    needs = sorted({step.need for step in steps})
    plain = axis.leads([axis.holds(need) for need in needs])
    by_need = dict(zip(needs, plain, strict=False))
    runs: dict[Shape, int] = {}
    holds, rows = [], []
    for step in steps:
        run = _run(step, steps)
        if len(run) == 1 or step.chained or step.free:
            rows.append(needs.index(step.need))
            continue
        shape = (step.person, *(_shape(one) for one in run))
        if shape not in runs:
            runs[shape] = len(needs) + len(runs)
            holds.append(_in_one_go(run, axis, by_need))
        rows.append(runs[shape])
    table = np.concatenate([plain[:-1], axis.leads(holds)])
    return np.array([*rows, len(table) - 1]), table


def _run(step: Step, steps: Sequence[Step]) -> list[Step]:
    """Return a step with all that is worked into it while it is wet."""
    run = [step]
    while run[-1].after is not None and steps[run[-1].after].chained:
        run.append(steps[run[-1].after])
    return run


def _shape(step: Step) -> Shape:
    return step.size, step.need, step.wait, step.due, step.within


def _in_one_go(run: Sequence[Step], axis: Axis, by_need: dict[int, np.ndarray]) -> np.ndarray:
    """Say of each open slot whether the whole run can be done from there, as it was planned."""
    head, person = run[0], run[0].person
    start = np.arange(axis.first[person, 0], axis.last[person] + 1)
    free, end = axis.end(person, start, head.size)
    holds = axis.room[start] >= head.size
    laid, before = end, head
    for step in run[1:]:
        ready = np.ceil(np.maximum(end + before.wait, before.due) - 1e-9)
        place = axis.first[person, np.clip(ready, 0, axis.never).astype(np.int64)]
        place = by_need[step.need][np.maximum(place, free)]
        free, end = axis.end(person, place, step.size)
        if np.isfinite(step.within):
            holds &= end - laid <= step.within
            laid = end
        before = step
    breaks = axis.breaks[person]
    inside = np.searchsorted(breaks, end) - np.searchsorted(breaks, axis.wall[start], "right")
    holds &= (end <= axis.never) & (inside <= 0)
    if not holds[:-1].any():
        return axis.holds(head.need)
    everywhere = np.zeros(len(axis.wall), dtype=bool)
    everywhere[start] = holds
    return everywhere
