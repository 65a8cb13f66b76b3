"""What can never be planned, whatever the order: found once, before any plan is made."""

from collections.abc import Sequence
from dataclasses import replace

from schedule.engine.plan import Trouble, TroubleKind
from schedule.engine.runs import Sat, lay_run
from schedule.engine.slots import MINUTE
from schedule.engine.works import MICRO, Works


def obstacles(works: Works) -> dict[int, Trouble]:
    """Return the tasks that no hours or hands allow, each with the trouble that says why.

    A wet run is named by the task that begins it, with the one worked into it that does not go;
    where it is begun, its end in `works` is set before that.
    """
    found: dict[int, Trouble] = {}
    roomiest = [
        hours.room(works.present, hours.place(works.present)) for hours in works.whole_hands
    ]
    fits: dict[tuple, bool] = {}
    fixed = _wholly_fixed(works)
    for t in range(len(works.tasks)):
        p = works.panel_of[t]
        if not works.work[t] or (works.begun[p] and t == works.first[p]) or t in fixed:
            continue
        alone = _alone(works, t, roomiest)
        if alone:
            found[t] = _trouble(works, t, alone)
    for t in range(len(works.tasks)):
        p = works.panel_of[t]
        inside = range(t + 1, works.run_end[t])
        begun = works.begun[p] and t == works.first[p]
        given = works.within[t] is not None and (t > works.first[p] or works.touched[p] is not None)
        if t in found or not inside or (given and not begun):
            continue
        if begun:
            # What is begun is finished, whatever can be worked into it.
            able = works.able[t + 1] >> works.people[works.tasks[t].begun_by] & 1
            if hindered := _hindered(works, t, found, fits) if able else t + 1:
                found.setdefault(hindered, set_trouble(works, hindered))
                works.run_end[t] = hindered
        elif not works.able[t]:
            found[t] = _unskilled(works, t)
        elif hindered := _hindered(works, t, found, fits):
            found[t] = _wet_trouble(works, t, hindered, found)
    return found


def _wholly_fixed(works: Works) -> set[int]:
    """Return the tasks of which the painter has fixed every minute, whatever hours there are."""
    fixed: dict[int, int] = {}
    for pin in works.problem.pins:
        if pin.firm and pin.start >= works.problem.now:
            t = works.place[pin.panel, pin.task]
            start, end = works.span(pin)
            fixed[t] = fixed.get(t, 0) + end - start
    return {t for t, slots in fixed.items() if slots >= works.work[t]}


def _alone(works: Works, t: int, roomiest: list[int]) -> TroubleKind | None:
    skill = works.tasks[t].skill
    able = [n for n, p in enumerate(works.problem.people) if not skill or skill in p.skills]
    if not able:
        return TroubleKind.NO_SKILL
    needed, room = min(works.shortest[t], works.work[t]), max(roomiest[n] for n in able)
    if not room:
        return TroubleKind.AWAY
    return TroubleKind.NO_FIT if needed > room else None


def _trouble(works: Works, t: int, kind: TroubleKind, other: int | None = None) -> Trouble:
    panel, task = works.panels[works.panel_of[t]], works.tasks[t]
    minutes = min(task.shortest, task.minutes) if kind == TroubleKind.NO_FIT else 0
    return Trouble(
        kind,
        panel.commission,
        panel.key,
        task.key,
        minutes,
        panel.key if other is not None else "",
        works.tasks[other].key if other is not None else "",
    )


def _wet_trouble(works: Works, t: int, hindered: int, found: dict[int, Trouble]) -> Trouble:
    """Return the trouble of a wet run, with the fewest in a row that fit no hours together."""
    start = t
    for first in range(hindered, t, -1):
        if first in found or (first < hindered and not _fits(works, range(first, hindered + 1))):
            start = first
            break
    minutes = works.tasks[hindered].within // MINUTE
    trouble = replace(_trouble(works, t, TroubleKind.WET, hindered), minutes=minutes)
    return _with_set(works, trouble, t, range(start, hindered + 1))


def _unskilled(works: Works, t: int) -> Trouble:
    """Return the trouble of a wet run that nobody can do, with the fewest that make it so."""
    people = works.problem.people
    needed = [n for n in range(t, works.run_end[t]) if works.tasks[n].skill]

    def can(tasks: list[int]) -> bool:
        skills = {works.tasks[n].skill for n in tasks}
        return any(skills <= person.skills for person in people)

    for n in list(needed):
        rest = [one for one in needed if one != n]
        needed = needed if can(rest) else rest
    trouble = _trouble(works, t, TroubleKind.NO_SKILL, needed[-1])
    return _with_set(works, trouble, t, needed)


def _with_set(works: Works, trouble: Trouble, t: int, tasks: Sequence[int]) -> Trouble:
    """Return a trouble with the tasks it is of, where they are not just its own two."""
    if len(tasks) == 2 and tasks[0] == t:
        return trouble
    panel = works.panels[works.panel_of[t]]
    return replace(trouble, together=tuple((panel.key, works.tasks[n].key) for n in tasks))


def _hindered(
    works: Works, t: int, found: dict[int, Trouble], fits: dict[tuple, bool]
) -> int | None:
    """Return the first task of a wet run that can never be worked into it; None if all can."""
    for end in range(t + 2, works.run_end[t] + 1):
        if end - 1 in found:
            return end - 1
        run = range(t, end)
        like = tuple(
            (works.work[n], works.shortest[n], works.longest[n], works.wait[n], works.within[n])
            for n in run
        )
        key = (like, works.able[t], max(works.release[n] for n in run))
        if key not in fits:
            fits[key] = _fits(works, run)
        if not fits[key]:
            return end - 1
    return None


def _fits(works: Works, run: range) -> bool:
    """Say whether a wet run fits anybody's hours anywhere, shared set-ups counted in its favour."""
    t = run.start
    last = works.work[t] - works.saved[t]
    if last > works.longest[t]:
        last = works.shortest[t]

    def work_of(_: list[Sat], task: int, __: int) -> int:
        return works.work[task] - works.saved[task]

    for place, hours in enumerate(works.whole_hands):
        if not works.able[t] >> place & 1:
            continue
        for start, end in zip(hours.starts, hours.ends, strict=True):
            for at in range(max(start, works.present) + last, end + 1):
                laid = at * works.slot
                if lay_run(
                    works, hours, run[1:], at, laid, work_of=work_of, is_clear=lambda *_: True
                ):
                    return True
    return False


def set_trouble(works: Works, t: int) -> Trouble:
    """Return the trouble of a task whose wet coat will have set."""
    panel, task = works.panels[works.panel_of[t]], works.tasks[t]
    minutes = works.within[t] * MICRO // MINUTE
    return Trouble(TroubleKind.SET, panel.commission, panel.key, task.key, minutes)
