"""The judge of cost: the objective of a plan, reckoned from the plan alone."""

from datetime import datetime, timedelta
from itertools import pairwise
from math import ceil

from schedule.engine.judge_measures import MINUTE, NOTHING, bounds_in_slots, started_day
from schedule.engine.objective import EARLIER, NEAR, Score
from schedule.engine.plan import Plan, PlannedSitting
from schedule.engine.problem import Problem

HOUR = timedelta(hours=1)
DAY = timedelta(days=1)


def score(problem: Problem, plan: Plan, old: Plan | None = None) -> Score:
    """Return what a plan costs; `old` is the plan she knows, if there is one."""
    late, completion, elapsed, unfinished = NOTHING, NOTHING, NOTHING, 0
    for commission in problem.commissions:
        panels = {p.key: p for p in problem.panels if p.commission == commission.key}
        finish = next(f.finish for f in plan.finishes if f.commission == commission.key)
        if finish is None:
            unfinished += commission.weight if panels else 0
            continue
        if commission.wanted:
            late += commission.weight * max(NOTHING, finish - commission.wanted)
        completion += max(NOTHING, finish - problem.now)
        touches = [p.touched for p in panels.values() if p.touched]
        touches += [s.start for s in plan.sittings if s.panel in panels]
        if touches:
            elapsed += max(NOTHING, finish - min(touches))
    return Score(
        late=late / HOUR,
        completion=completion / HOUR,
        set_ups=_set_ups(problem, plan),
        turnings=_turnings(problem, plan),
        cuts=_cuts(problem, plan),
        elapsed=elapsed / HOUR,
        moved=_moved(problem, plan, old),
        unfinished=unfinished,
        unplanned=_unplanned(problem, plan) / HOUR,
    )


def _set_ups(problem: Problem, plan: Plan) -> int:
    """Count the palettes: one for each mix that a person uses on a working day."""
    people = {person.key: person for person in problem.people}
    mixes = {(p.key, t.key): t.mix for p in problem.panels for t in p.tasks if t.mix}
    return len(
        {
            (s.person, started_day(people[s.person], s.start), mixes[s.panel, s.task])
            for s in plan.sittings
            if (s.panel, s.task) in mixes
        }
    )


def _cuts(problem: Problem, plan: Plan) -> int:
    """Count the sittings of each stage beyond the fewest that could hold what is planned of it."""
    cuts = 0
    for panel in problem.panels:
        for task in panel.tasks:
            sat = [s for s in plan.sittings if (s.panel, s.task) == (panel.key, task.key)]
            _, longest = bounds_in_slots(task, problem.slot)
            work = sum((s.end - s.start for s in sat), NOTHING)
            cuts += max(0, len(sat) - ceil(work / (longest * problem.slot)))
    return cuts


def _turnings(problem: Problem, plan: Plan) -> int:
    """Count how often the next sitting on a piece is on another of the faces it can lie on."""
    piece = {face.key: {face.key} for face in problem.faces}
    for face in problem.faces:
        for other in face.lies_on:
            joined = piece[face.key] | piece[other]
            for key in joined:
                piece[key] = joined
    face_of = {panel.key: panel.face for panel in problem.panels if panel.face}
    worked: dict[frozenset[str], list[str]] = {}
    for sitting in sorted(plan.sittings, key=lambda s: (s.start, s.end, s.person)):
        if face := face_of.get(sitting.panel):
            worked.setdefault(frozenset(piece[face]), []).append(face)
    return sum(a != b for faces in worked.values() for a, b in pairwise(faces))


def _moved(problem: Problem, plan: Plan, old: Plan | None) -> float:
    """Add up the days by which the stages move that she knows to begin soon."""
    if old is None:
        return 0.0
    before, after = _starts(old), _starts(plan)
    near = [
        max(after[key] - start, EARLIER * (start - after[key]))
        for key, start in before.items()
        if key in after and problem.now <= start < problem.now + NEAR
    ]
    return sum(near, NOTHING) / DAY


def _starts(plan: Plan) -> dict[tuple[str, str], datetime]:
    starts: dict[tuple[str, str], datetime] = {}
    for sitting in plan.sittings:
        key = (sitting.panel, sitting.task)
        starts[key] = min(sitting.start, starts.get(key, sitting.start))
    return starts


def _unplanned(problem: Problem, plan: Plan) -> timedelta:
    """Add up the work on panels that are not wholly planned."""
    done: dict[tuple[str, str], list[PlannedSitting]] = {}
    for sitting in plan.sittings:
        done.setdefault((sitting.panel, sitting.task), []).append(sitting)
    left = NOTHING
    for panel in problem.panels:
        for task in panel.tasks:
            sat = sum((s.end - s.start for s in done.get((panel.key, task.key), [])), NOTHING)
            # What a shared set-up saved is not left undone.
            if sat < (task.minutes - task.set_up) * MINUTE:
                left += task.minutes * MINUTE - sat
    return left
