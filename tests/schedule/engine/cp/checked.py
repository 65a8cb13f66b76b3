"""A placing checked by the words of the model alone, and the best of all placings by trying each.

Shares nothing with the solver.
"""

from collections.abc import Iterator, Mapping
from itertools import combinations, product

from schedule.engine.cp.model import Model, Task

Placing = Mapping[str, tuple[int, int]]


def choices(task: Task, horizon: int) -> Iterator[tuple[int, int]]:
    """Every start and size a task may have on its own."""
    for start in range(horizon + 1):
        if task.may_be_empty:
            yield start, 0
        if task.start not in (None, start):
            continue
        if task.starts and not any(first <= start < end for first, end in task.starts):
            continue
        for size in range(task.least, task.most + 1):
            if start + size <= horizon and not (task.may_be_empty and size == 0):
                yield start, size


def breaches(model: Model, placed: Placing) -> Iterator[str]:
    """What a placing does that the model forbids."""
    for task in model.tasks:
        if placed[task.key] not in set(choices(task, model.horizon)):
            yield f"{task.key} may not be at {placed[task.key]}"
    for lag in model.lags:
        (first, long), (second, wide) = placed[lag.first], placed[lag.second]
        between = second + wide * lag.to_end - first - long * lag.from_end
        if lag.least is not None and between < lag.least:
            yield f"{lag} is {between}"
        if lag.most is not None and between > lag.most:
            yield f"{lag} is {between}"
    for total in model.totals:
        if sum(placed[key][1] for key in total.tasks) != total.steps:
            yield f"{total} is not met"
    for step in range(model.horizon):
        busy = {key for key, (start, size) in placed.items() if start <= step < start + size}
        yield from crowded(model, busy, step)


def crowded(model: Model, busy: set[str], step: int) -> Iterator[str]:
    for hands in model.unary:
        at_work = busy & set(hands.tasks)
        shut = any(first <= step < end for first, end in hands.closed)
        if len(at_work) > (not shut):
            yield f"{sorted(at_work)} at once at {step}"
    for room in model.cumulative:
        if sum(demand for key, demand in room.demands if key in busy) > room.capacity:
            yield f"{room} is too full at {step}"
    for exclusive in model.exclusive:
        for one, other in combinations(exclusive.faces, 2):
            for key, against in product(busy & set(one), busy & set(other)):
                if key != against:
                    yield f"{key} and {against} at once at {step}"


def cost(model: Model, placed: Placing) -> int:
    total = 0
    for delivery in model.deliveries:
        over = max(sum(placed[key]) + after for key, after in delivery.ends)
        total += delivery.finish * over
        if delivery.wanted is not None:
            total += delivery.late * max(0, over - delivery.wanted)
    return total


def best_of_all(model: Model) -> int | None:
    """The least cost of any placing, None when there is none: by trying every one."""
    keys = [task.key for task in model.tasks]
    found = [
        cost(model, placed)
        for picks in product(*(choices(task, model.horizon) for task in model.tasks))
        if not any(breaches(model, placed := dict(zip(keys, picks, strict=True))))
    ]
    return min(found, default=None)
