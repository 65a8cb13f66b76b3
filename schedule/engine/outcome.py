"""What a decode comes to, in the words of the problem: sittings, gates, finishes and troubles."""

from collections import Counter
from collections.abc import Mapping, Sequence
from datetime import datetime, timedelta

from schedule.engine.decoder import Run
from schedule.engine.obstacles import set_trouble
from schedule.engine.plan import Finish, Plan, PlannedGate, PlannedSitting, Trouble, TroubleKind
from schedule.engine.problem import EPOCH, Problem
from schedule.engine.slots import MICROS, MINUTE
from schedule.engine.works import Works


def express(
    works: Works, run: Run, stops: Mapping[int, Trouble], dropped: Sequence[Trouble] = ()
) -> Plan:
    """Return the plan that a decode stands for; `dropped` tells of pins that are not kept."""
    finished = tuple(_finishes(works, run))
    sittings = tuple(_sittings(works, run))
    dropped = _missing(works.problem, sittings, dropped)
    return Plan(
        sittings=sittings,
        gates=tuple(sorted(_gates(works, run), key=lambda g: (g.opens, g.panel, g.task))),
        finishes=finished,
        troubles=(*dropped, *_troubles(works, run, stops, finished)),
    )


def _missing(
    problem: Problem, sittings: Sequence[PlannedSitting], dropped: Sequence[Trouble]
) -> list[Trouble]:
    """Return as many of the troubles of a stage as pins of it are missing: one that was let go may
    stand where it was by luck."""
    held = {(s.panel, s.task, s.person, s.start, s.end) for s in sittings}
    missing = Counter(
        (pin.panel, pin.task)
        for pin in set(problem.pins)
        if pin.firm
        and pin.start >= problem.now
        and (pin.panel, pin.task, pin.person, pin.start, pin.end) not in held
    )
    told = []
    for trouble in dropped:
        if missing[trouble.panel, trouble.task]:
            missing[trouble.panel, trouble.task] -= 1
            told.append(trouble)
    return told


def _moment(micros: int) -> datetime:
    return EPOCH + timedelta(microseconds=micros)


def _sittings(works: Works, run: Run) -> list[PlannedSitting]:
    keys = [person.key for person in works.problem.people]
    sat = []
    for start, end, t, place in run.sittings:
        panel = works.panels[works.panel_of[t]]
        task = works.tasks[t].key
        moments = (_moment(start), _moment(end))
        sat.append(PlannedSitting(task, panel.key, panel.commission, keys[place], *moments))
    return sorted(sat, key=lambda sat: (sat.start, sat.person))


def _gates(works: Works, run: Run) -> list[PlannedGate]:
    ends = dict.fromkeys(range(len(works.tasks)), 0)
    for _, end, t, _ in run.sittings:
        ends[t] = max(ends[t], end)
    gates = []
    for p, panel in enumerate(works.panels):
        ready = works.opens[p]
        for t in range(works.first[p], run.cursor[p]):
            ready = (ends[t] or max(ready, works.release[t])) + works.wait[t]
            task = works.tasks[t]
            if task.gate:
                keys = (task.key, panel.key, panel.commission)
                gates.append(PlannedGate(*keys, task.gate.kind, _moment(ready)))
    return gates


def _finishes(works: Works, run: Run) -> list[Finish]:
    left: set[str] = set()
    last: dict[str, int] = {}
    for p, panel in enumerate(works.panels):
        key = panel.commission
        last[key] = max(run.ready[p], last.get(key, run.ready[p]))
        if run.cursor[p] < works.last[p]:
            left.add(key)
    found = []
    for commission in works.problem.commissions:
        key = commission.key
        if key in left or key not in last:
            found.append(Finish(key, None, timedelta(0)))
            continue
        finish = _moment(last[key])
        wanted = commission.wanted
        found.append(
            Finish(key, finish, max(finish - wanted, timedelta(0)) if wanted else timedelta(0))
        )
    return found


def _troubles(
    works: Works, run: Run, stops: Mapping[int, Trouble], finished: Sequence[Finish]
) -> list[Trouble]:
    """Return what could not be planned, then which commissions are late."""
    late = [
        Trouble(TroubleKind.LATE, finish.commission, minutes=-(-finish.late // MINUTE))
        for finish in finished
        if finish.late
    ]
    left = [p for p in range(len(works.panels)) if run.cursor[p] < works.last[p]]
    if not left:
        return late
    closed = _closed(works.problem)
    if closed is not None:
        return [Trouble(closed), *late]
    return [*(_unplanned(works, run, stops, p) for p in left), *late]


def _closed(problem: Problem) -> TroubleKind | None:
    """Return why nobody can do anything at all, if so it is."""
    if not problem.people:
        return TroubleKind.NO_PEOPLE
    ends = [window.end for person in problem.people for window in person.windows]
    if not ends:
        return TroubleKind.NO_HOURS
    return TroubleKind.HOURS_PAST if max(ends) <= problem.now else None


def _unplanned(works: Works, run: Run, stops: Mapping[int, Trouble], p: int) -> Trouble:
    t = run.cursor[p]
    if t in stops:
        return stops[t]
    if t in run.set_tasks:
        return set_trouble(works, t)
    panel = works.panels[p]
    work = sum(task.minutes for task in works.tasks[t : works.last[p]]) * 60 * MICROS
    minutes = -((run.planned[p] - work) // (60 * MICROS))
    return Trouble(TroubleKind.BEYOND, panel.commission, panel.key, works.tasks[t].key, minutes)
