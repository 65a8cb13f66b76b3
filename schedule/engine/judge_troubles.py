"""The judge of troubles: whether what a plan says cannot be is truly so."""

from collections.abc import Iterator

from schedule.engine.judge_measures import MINUTE, NOTHING, bounds_in_slots, holds, room
from schedule.engine.judge_time import could_be_done, could_be_worked_in
from schedule.engine.plan import Plan, Trouble, TroubleKind
from schedule.engine.problem import Panel, Person, Problem, Task


def untrue(problem: Problem, plan: Plan) -> Iterator[str]:
    """Return what is wrong with the troubles of a plan, one sentence a fault.

    Lateness is judged with the finishes, what pins are not kept with the pins. That all is planned
    as well as can be is not judged, only that what is named is unplanned, stands in the way, and
    that no time plainly open to it is left unused.
    """
    ends = [window.end for person in problem.people for window in person.windows]
    truth = {
        TroubleKind.NO_PEOPLE: not problem.people,
        TroubleKind.NO_HOURS: bool(problem.people) and not ends,
        TroubleKind.HOURS_PAST: bool(ends) and max(ends) <= problem.now,
    }
    panels = {panel.key: panel for panel in problem.panels}
    for trouble in plan.troubles:
        if not truth.get(trouble.kind, True):
            yield f"It is not true that {trouble.sentence}"
        if trouble.kind in truth or trouble.kind == TroubleKind.LATE:
            continue
        panel = panels.get(trouble.panel)
        place = next(
            (n for n, t in enumerate(panel.tasks if panel else ()) if t.key == trouble.task), None
        )
        if panel is None or place is None:
            yield f"A trouble names {trouble.task} on {trouble.panel}, which is not in the problem."
            continue
        yield from CHECKS[trouble.kind](problem, plan, trouble, panel, place)
        yield from _set_named(trouble, panel, place)


def _set_named(trouble: Trouble, panel: Panel, place: int) -> Iterator[str]:
    """Check that what cannot hold together is of the panel, in order, and ends with the other."""
    if not trouble.together:
        return
    inside = [task.key for task in _run(panel, place)]
    if trouble.kind == TroubleKind.PIN_EARLY:
        inside = [task.key for task in panel.tasks[:place]]
    keys = [key for _, key in trouble.together]
    in_order = [key for key in inside if key in keys] == keys
    ends = keys[-1] == trouble.other_task
    if not (in_order and ends and all(owner == panel.key for owner, _ in trouble.together)):
        yield f"What {trouble.task} on {trouble.panel} cannot hold with is not before or in it."


def _no_fit(problem: Problem, _: Plan, trouble: Trouble, panel: Panel, place: int) -> Iterator[str]:
    task = panel.tasks[place]
    shortest, _longest = bounds_in_slots(task, problem.slot)
    minutes = min(shortest * problem.slot, task.minutes * MINUTE)
    able = [person for person in problem.people if _is_able(person, task)]
    if any(room(p, problem.now, problem.slot, []) * problem.slot >= minutes for p in able):
        yield f"{trouble.task} on {trouble.panel} does fit a window."
    if trouble.minutes != min(task.shortest, task.minutes):
        yield f"{trouble.task} on {trouble.panel} needs another length than the trouble says."


def _away(problem: Problem, _: Plan, trouble: Trouble, panel: Panel, place: int) -> Iterator[str]:
    able = [person for person in problem.people if _is_able(person, panel.tasks[place])]
    if not able or any(room(person, problem.now, problem.slot, []) for person in able):
        yield f"Somebody has time for {trouble.task} on {trouble.panel}."


def _beyond(
    problem: Problem, plan: Plan, trouble: Trouble, panel: Panel, place: int
) -> Iterator[str]:
    work = sum(task.minutes for task in panel.tasks[place:]) * MINUTE
    for sitting in plan.sittings:
        if (sitting.panel, sitting.task) == (trouble.panel, trouble.task):
            work -= sitting.end - sitting.start
    if not trouble.minutes - 1 < work / MINUTE <= trouble.minutes:
        yield f"{trouble.panel} has {work} left unplanned, not {trouble.minutes} min."
    if could_be_done(problem, plan, panel, place):
        yield f"There is time for {trouble.task} on {trouble.panel}."


def _no_skill(
    problem: Problem, _: Plan, trouble: Trouble, panel: Panel, place: int
) -> Iterator[str]:
    tasks = _run(panel, place) if trouble.other_task else panel.tasks[place : place + 1]
    if any(all(_is_able(person, task) for task in tasks) for person in problem.people):
        yield f"Somebody can do {trouble.task} on {trouble.panel}."


def _wet(problem: Problem, _: Plan, trouble: Trouble, panel: Panel, place: int) -> Iterator[str]:
    run = _run(panel, place)
    inside = [task for task in run if task.key == trouble.other_task]
    if not inside or inside[0].within != trouble.minutes * MINUTE:
        yield f"{trouble.task} on {trouble.panel} is not bound to what its trouble says."
        return
    if _fits_in_one_go(problem, run):
        yield f"{trouble.task} on {trouble.panel} does fit with what is worked into it."


def _fits_in_one_go(problem: Problem, run: tuple[Task, ...]) -> bool:
    """Say whether a wet run fits one window of somebody's, at the length of its longest form."""
    slot = problem.slot
    needed = NOTHING
    for before, task in zip((None, *run), run, strict=False):
        _, longest = bounds_in_slots(task, slot)
        work = -(-task.minutes * MINUTE // slot)
        if work > longest:
            return False
        wait = before.gate.wait if before and before.gate else NOTHING
        span = -(-wait // slot) * slot + work * slot
        if before and (span + slot > (task.within or NOTHING)):
            return False
        needed += span + slot
    able = [p for p in problem.people if all(_is_able(p, task) for task in run)]
    return any(room(p, problem.now, slot, []) * slot >= needed for p in able)


def _set(problem: Problem, plan: Plan, trouble: Trouble, panel: Panel, place: int) -> Iterator[str]:
    within = panel.tasks[place].within
    if within != trouble.minutes * MINUTE:
        yield f"{trouble.task} on {trouble.panel} is not bound as its trouble says."
    if place == 0:
        if could_be_worked_in(problem, plan, panel):
            yield f"There is time for {trouble.task} on {trouble.panel} before its coat has set."
    elif not any(
        (s.panel, s.task) == (panel.key, panel.tasks[place - 1].key) for s in plan.sittings
    ):
        yield f"Nothing that {trouble.task} on {trouble.panel} is worked into is laid."


def _pin(problem: Problem, plan: Plan, trouble: Trouble, panel: Panel, place: int) -> Iterator[str]:
    task = panel.tasks[place]
    pins = [p for p in problem.pins if (p.panel, p.task) == (panel.key, task.key) and p.firm]
    if not any(not any(holds(pin, s) for s in plan.sittings) for pin in pins):
        yield f"{trouble.task} on {trouble.panel} has no pin that is not kept."


def _run(panel: Panel, place: int) -> tuple[Task, ...]:
    """Return a task with those that are worked into it while it is wet."""
    last = place + 1
    while last < len(panel.tasks) and panel.tasks[last].within is not None:
        last += 1
    return panel.tasks[place:last]


def _is_able(person: Person, task: Task) -> bool:
    return not task.skill or task.skill in person.skills


CHECKS = {
    TroubleKind.NO_FIT: _no_fit,
    TroubleKind.AWAY: _away,
    TroubleKind.BEYOND: _beyond,
    TroubleKind.NO_SKILL: _no_skill,
    TroubleKind.WET: _wet,
    TroubleKind.SET: _set,
    TroubleKind.PIN_CLASH: _pin,
    TroubleKind.PIN_EARLY: _pin,
    TroubleKind.PIN_SHUT: _pin,
}
