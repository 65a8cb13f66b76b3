"""A model in the solver's own variables."""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from itertools import combinations, pairwise, product

from ortools.sat.python import cp_model
from ortools.util.python.sorted_interval_list import Domain

from schedule.engine.cp.model import Delivery, Exclusive, Lag, Model, Span, Task, Unary


class ImpossibleError(Exception):
    """A task has no start left at all, so there is nothing to search for."""


@dataclass(slots=True)
class Built:
    """A model's variables: what a task comes to in the solver, by its key."""

    model: Model
    solver: cp_model.CpModel = field(default_factory=cp_model.CpModel)
    starts: dict[str, cp_model.IntVar] = field(default_factory=dict)
    sizes: dict[str, cp_model.LinearExprT] = field(default_factory=dict)
    ends: dict[str, cp_model.LinearExprT] = field(default_factory=dict)
    held: dict[str, cp_model.IntVar] = field(default_factory=dict)
    stretches: dict[str, cp_model.IntervalVar] = field(default_factory=dict)
    overs: list[cp_model.IntVar] = field(default_factory=list)
    lates: list[cp_model.IntVar | None] = field(default_factory=list)

    def hint(self, known: Mapping[str, tuple[int, int]]) -> None:
        """Propose a start and a size for the tasks that are known."""
        for task in self.model.tasks:
            if task.key not in known:
                continue
            start, size = known[task.key]
            self.solver.add_hint(self.starts[task.key], start)
            for variable, value in ((self.sizes, size), (self.ends, start + size)):
                # An end is the start itself, hinted already, where the size is nothing.
                named = isinstance(variable[task.key], cp_model.IntVar)
                if named and (task.most or task.key in self.held):
                    self.solver.add_hint(variable[task.key], value)
            if task.key in self.held:
                self.solver.add_hint(self.held[task.key], size > 0)
        for delivery, over, late in zip(self.model.deliveries, self.overs, self.lates, strict=True):
            if all(key in known for key, _ in delivery.ends):
                step = over_at(delivery, known)
                self.solver.add_hint(over, step)
                if late is not None:
                    self.solver.add_hint(late, max(0, step - (delivery.wanted or 0)))


def over_at(delivery: Delivery, placed: Mapping[str, tuple[int, int]]) -> int:
    """Return the step at which a delivery is over, its tasks placed at (start, size)."""
    return max((sum(placed[key]) + after for key, after in delivery.ends), default=0)


def build(model: Model) -> Built:
    """Put a model into the solver's variables; ImpossibleError when a task has no start left."""
    built = Built(model)
    closed = _closed_by_task(model)
    for task in model.tasks:
        _place(built, task, closed.get(task.key, []))
    for task in model.tasks:
        if task.key in built.held and task.needs in built.held:
            built.solver.add_implication(built.held[task.key], built.held[task.needs])
    for lag in model.lags:
        _hold(built, lag)
    for total in model.totals:
        built.solver.add(sum(built.sizes[key] for key in total.tasks) == total.steps)
    for hands in model.unary:
        _one_at_a_time(built, hands)
    for room in model.cumulative:
        taken = [(key, demand) for key, demand in room.demands if key in built.stretches]
        built.solver.add_cumulative(
            [built.stretches[key] for key, _ in taken],
            [demand for _, demand in taken],
            room.capacity,
        )
    for exclusive in model.exclusive:
        _keep_apart(built, exclusive)
    _price(built)
    return built


def _closed_by_task(model: Model) -> dict[str, list[Span]]:
    closed: dict[str, list[Span]] = {}
    for hands in model.unary:
        for key in hands.tasks:
            closed.setdefault(key, []).extend(_joined(hands.closed))
    return closed


def _joined(spans: Sequence[Span]) -> list[Span]:
    """The spans in order, those that overlap or touch made one."""
    joined: list[Span] = []
    for first, end in sorted(spans):
        if joined and first <= joined[-1][1]:
            joined[-1] = joined[-1][0], max(end, joined[-1][1])
        else:
            joined.append((first, end))
    return joined


def _place(built: Built, task: Task, closed: Sequence[Span]) -> None:
    """Make a task's variables: one for a fixed size; start, size and end for an elastic one."""
    horizon, optional = (
        built.model.horizon,
        task.most > 0 and (task.least == 0 or task.may_be_empty),
    )
    closed = closed if task.most else ()
    start = _allowed(_starts(task, horizon, task.least), _shut_starts(closed, task.least))
    if task.most == 0 and task.may_be_empty:
        start = _between(0, horizon)
    end = _allowed(_between(task.least, horizon), _shut_ends(closed, task.least))
    if optional:
        _place_optional(built, task, start, end)
    elif start.is_empty() or end.is_empty():
        raise ImpossibleError
    elif task.least == task.most:
        _place_fixed(built, task, start)
    else:
        _place_elastic(built, task, start, end)


def _place_fixed(built: Built, task: Task, start: Domain) -> None:
    solver, key = built.solver, task.key
    built.starts[key] = solver.new_int_var_from_domain(start, key)
    built.sizes[key] = task.most
    built.ends[key] = built.starts[key] + task.most
    if task.most:
        built.stretches[key] = solver.new_fixed_size_interval_var(built.starts[key], task.most, key)


def _place_elastic(built: Built, task: Task, start: Domain, end: Domain) -> None:
    solver, key = built.solver, task.key
    built.starts[key] = solver.new_int_var_from_domain(start, key)
    built.ends[key] = solver.new_int_var_from_domain(end, key)
    built.sizes[key] = solver.new_int_var(task.least, task.most, key)
    built.stretches[key] = solver.new_interval_var(
        built.starts[key], built.sizes[key], built.ends[key], key
    )


def _place_optional(built: Built, task: Task, start: Domain, end: Domain) -> None:
    """Make the variables of a task that may have size nothing, and is then bound by its lags."""
    solver, key, horizon = built.solver, task.key, built.model.horizon
    anywhere = _between(0, horizon) if task.may_be_empty else _starts(task, horizon, 0)
    if anywhere.is_empty():
        raise ImpossibleError
    held = built.held[key] = solver.new_bool_var(key)
    built.starts[key] = solver.new_int_var_from_domain(anywhere, key)
    built.ends[key] = solver.new_int_var(0, horizon, key)
    sizes = _between(task.least, task.most).union_with(_between(0, 0))
    built.sizes[key] = solver.new_int_var_from_domain(sizes, key)
    solver.add(built.starts[key] + built.sizes[key] == built.ends[key])
    solver.add(built.sizes[key] == 0).only_enforce_if(~held)
    solver.add(built.sizes[key] >= max(1, task.least)).only_enforce_if(held)
    for variable, domain in ((built.starts[key], start), (built.ends[key], end)):
        if domain.is_empty():
            solver.add(held == 0)
        else:
            solver.add_linear_expression_in_domain(variable, domain).only_enforce_if(held)
    built.stretches[key] = solver.new_optional_interval_var(
        built.starts[key], built.sizes[key], built.ends[key], held, key
    )


def _between(first: int, last: int) -> Domain:
    return Domain(first, last) if first <= last else Domain.from_intervals([])


def _starts(task: Task, horizon: int, least: int) -> Domain:
    room = _between(0, horizon - least)
    if task.start is not None:
        room = room.intersection_with(_between(task.start, task.start))
    if task.starts:
        spans = [[first, end - 1] for first, end in task.starts]
        room = room.intersection_with(Domain.from_intervals(spans))
    return room


def _allowed(domain: Domain, shut: Iterator[Span]) -> Domain:
    spans = [[first, last] for first, last in shut if first <= last]
    return domain.intersection_with(Domain.from_intervals(spans).complement()) if spans else domain


def _shut_starts(closed: Sequence[Span], size: int) -> Iterator[Span]:
    """The starts, first and last, from which `size` steps run into closed time."""
    return ((first - max(size, 1) + 1, end - 1) for first, end in closed)


def _shut_ends(closed: Sequence[Span], size: int) -> Iterator[Span]:
    return ((first + 1, end + max(size, 1) - 1) for first, end in closed)


def _hold(built: Built, lag: Lag) -> None:
    first = (built.ends if lag.from_end else built.starts)[lag.first]
    second = (built.ends if lag.to_end else built.starts)[lag.second]
    both = (built.held.get(key) for key in (lag.first, lag.second))
    while_held = [held for held in both if held is not None] if lag.unless_empty else []
    if lag.least is not None:
        built.solver.add(second >= first + lag.least).only_enforce_if(while_held)
    if lag.most is not None:
        built.solver.add(second <= first + lag.most).only_enforce_if(while_held)


def _one_at_a_time(built: Built, hands: Unary) -> None:
    """One task at a time, and none in closed time, which takes room as a task does."""
    blocks = [
        built.solver.new_fixed_size_interval_var(first, end - first, "closed")
        for first, end in _joined(hands.closed)
    ]
    taken = [built.stretches[key] for key in hands.tasks if key in built.stretches]
    built.solver.add_no_overlap(taken + blocks)


def _keep_apart(built: Built, exclusive: Exclusive) -> None:
    """Faces apart from each other: at one stroke if the tasks of each follow one another."""
    faces = [[key for key in face if key in built.stretches] for face in exclusive.faces]
    following = {
        (lag.first, lag.second)
        for lag in built.model.lags
        if lag.from_end and not (lag.to_end or lag.unless_empty)
        if lag.least is not None and lag.least >= 0
    }
    if all(pair in following for face in faces for pair in pairwise(face)) and len(
        {key for face in faces for key in face}
    ) == sum(map(len, faces)):
        built.solver.add_no_overlap([built.stretches[key] for face in faces for key in face])
        return
    for one, other in combinations(faces, 2):
        for key, against in product(one, other):
            if key != against:
                built.solver.add_no_overlap([built.stretches[key], built.stretches[against]])


def _price(built: Built) -> None:
    """Make the cost of all deliveries as small as can be."""
    solver, cost = built.solver, []
    for delivery in built.model.deliveries:
        highest = built.model.horizon + max((after for _, after in delivery.ends), default=0)
        over = solver.new_int_var(min(delivery.soonest, highest), highest, "over")
        for key, after in delivery.ends:
            solver.add(over >= built.ends[key] + after)
        late = None
        if delivery.wanted is not None and delivery.late:
            late = solver.new_int_var(0, max(0, highest - delivery.wanted), "late")
            solver.add(late >= over - delivery.wanted)
            cost.append(delivery.late * late)
        built.overs.append(over)
        built.lates.append(late)
        cost.append(delivery.finish * over)
    if cost:
        solver.minimize(sum(cost))
