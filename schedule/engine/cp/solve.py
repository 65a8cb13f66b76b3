"""A model solved: the best placing found within limits, and how much better any could be."""

from collections.abc import Callable, Iterator, Mapping
from contextlib import contextmanager
from dataclasses import dataclass, field
from enum import StrEnum
from math import ceil
from threading import Event, Thread

from ortools.sat.python import cp_model

from schedule.engine.cp.build import Built, ImpossibleError, build, over_at
from schedule.engine.cp.model import Model

POLL = 0.1
"""How often, in seconds, it is asked whether to go on."""


class Status(StrEnum):
    """How an answer stands: proved best, found, proved impossible, or nothing known."""

    PROVED = "proved"
    FOUND = "found"
    IMPOSSIBLE = "impossible"
    UNKNOWN = "unknown"


@dataclass(frozen=True, slots=True)
class Limits:
    """How long to search, in the solver's own measure of effort so that it always stops alike.

    A unit of `effort` is some three to five seconds of a present-day computer's time; it is looked
    at between rounds of the search, so that a small limit is passed by far. `seconds` of the clock
    are a safety net only. `presolve` pays where a proof is sought; without it the first placing,
    or the one hinted at, comes at once, and with it a short search may end with none.
    """

    effort: float = 5.0
    seconds: float = 120.0
    workers: int = 2
    seed: int = 1
    presolve: bool = True


@dataclass(frozen=True, slots=True)
class Answer:
    """What came out: where each task starts and its size, in steps, if any placing was found.

    No placing costs less than `bound`. `cut_short` says that the clock or the caller ended the
    search, so that another run may end elsewhere. `effort` is what it took, as in `Limits`.
    """

    status: Status
    starts: Mapping[str, int] = field(default_factory=dict)
    sizes: Mapping[str, int] = field(default_factory=dict)
    cost: int | None = None
    bound: int | None = None
    cut_short: bool = False
    effort: float = 0.0


Progress = Callable[[int | None, int], None]
"""Told the best cost so far, None before the first, and the bound; from a thread of the solver."""


def solve(
    model: Model,
    *,
    limits: Limits | None = None,
    hint: Mapping[str, tuple[int, int]] | None = None,
    progress: Progress | None = None,
    cancel: Callable[[], bool] | None = None,
) -> Answer:
    """Return the best placing of a model's tasks found within the limits.

    The same model, limits and hint give the same answer unless it is cut short. `hint` proposes a
    start and size for tasks by key; it need be neither whole nor possible. `cancel` is asked every
    tenth of a second, from a thread of its own, whether to stop with what there is.
    """
    limits = limits or Limits()
    try:
        built = build(model)
    except ImpossibleError:
        return Answer(Status.IMPOSSIBLE)
    if hint:
        built.hint(hint)
    solver = _solver(limits)
    told = _Told(progress)
    solver.best_bound_callback = told.better_bound
    with _watched(solver, cancel) as stopped:
        found = solver.solve(built.solver, told)
    return _answer(built, solver, found, limits, stopped=stopped.is_set())


def _solver(limits: Limits) -> cp_model.CpSolver:
    solver = cp_model.CpSolver()
    solver.parameters.num_workers = limits.workers
    solver.parameters.interleave_search = True
    solver.parameters.random_seed = limits.seed
    solver.parameters.max_deterministic_time = limits.effort
    solver.parameters.max_time_in_seconds = limits.seconds
    solver.parameters.cp_model_presolve = limits.presolve
    return solver


class _Told(cp_model.CpSolverSolutionCallback):
    """Passes on each better placing and each better bound."""

    def __init__(self, progress: Progress | None) -> None:
        super().__init__()
        self.progress = progress
        self.best: int | None = None
        self.bound = 0

    def on_solution_callback(self) -> None:
        self.best = round(self.objective_value)
        self.better_bound(self.best_objective_bound)

    def better_bound(self, bound: float) -> None:
        self.bound = max(self.bound, _whole(bound))
        if self.progress:
            self.progress(self.best, self.bound)


@contextmanager
def _watched(solver: cp_model.CpSolver, cancel: Callable[[], bool] | None) -> Iterator[Event]:
    """Stop the solver soon after `cancel` says so; the event tells that it did."""
    stopped, over = Event(), Event()

    def watch() -> None:
        while cancel and not over.wait(POLL):
            # Asked again each time: a stop that comes before the search has begun is not heard.
            if stopped.is_set() or cancel():
                stopped.set()
                solver.stop_search()

    watcher = Thread(target=watch, daemon=True)
    watcher.start()
    try:
        yield stopped
    finally:
        over.set()
        watcher.join()


def _answer(
    built: Built, solver: cp_model.CpSolver, found: int, limits: Limits, *, stopped: bool
) -> Answer:
    proved = found in (cp_model.OPTIMAL, cp_model.INFEASIBLE)
    # Its effort tells: by its clock, the solver may let go a good while before the limit.
    early = solver.deterministic_time < 0.99 * limits.effort
    ending = {"cut_short": not proved and (stopped or early), "effort": solver.deterministic_time}
    if found == cp_model.MODEL_INVALID:
        raise ValueError(f"The solver refuses the model: {built.solver.validate()}")
    if found == cp_model.INFEASIBLE:
        return Answer(Status.IMPOSSIBLE, **ending)
    priced = bool(built.model.deliveries)
    bound = max(0, _whole(solver.best_objective_bound)) if priced else 0
    if found == cp_model.UNKNOWN:
        return Answer(Status.UNKNOWN, bound=bound, **ending)
    starts = {key: solver.value(start) for key, start in built.starts.items()}
    sizes = {key: solver.value(size) for key, size in built.sizes.items()}
    placed = {key: (start, sizes[key]) for key, start in starts.items()}
    cost = sum(delivery.cost(over_at(delivery, placed)) for delivery in built.model.deliveries)
    status = Status.PROVED if found == cp_model.OPTIMAL else Status.FOUND
    return Answer(status, starts, sizes, cost, cost if proved else bound, **ending)


def _whole(bound: float) -> int:
    """The least whole cost a bound allows; a hair under a whole number is that number."""
    return ceil(bound - 1e-6)
