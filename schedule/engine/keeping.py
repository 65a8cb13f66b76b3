"""Keeping what is near: the stages she knows of stay where they were, save those of a few panels.

The stages kept are pins that no one asked for: what their plan comes to is a plan without pins
too, if the judge finds nothing wrong with it.
"""

from collections.abc import Collection, Sequence
from dataclasses import dataclass

from schedule.engine.decoder import Run, decode
from schedule.engine.hands import micros
from schedule.engine.pins import Ground, hurried, paid_for
from schedule.engine.plan import Plan, PlannedSitting
from schedule.engine.problem import Pin
from schedule.engine.works import Works


@dataclass(frozen=True, slots=True)
class Kept:
    """A plan that keeps what is near: the problem laid out with the pins for it, and its decode.

    `freed` are the tasks that do not stay, each with what follows it on its panel.
    """

    works: Works
    run: Run
    freed: frozenset[int]


def keep_near(
    ground: Ground,
    old: Plan,
    keys: Sequence[float],
    *,
    until: int,
    freed: Collection[int] = (),
) -> Kept:
    """Return the plan in which the stages that an older plan begins before `until` (microseconds)
    stay, but for the tasks `freed` and what follows them on their panels.

    One that cannot stay is freed too.
    """
    own = list(ground.works.pins)
    kept = _pins(ground.works, old, until)
    loose = set(freed)
    while True:
        first: dict[int, int] = {}
        for t in loose:
            p = ground.works.panel_of[t]
            first[p] = min(t, first.get(p, t))
        kept = [(pin, t) for pin, t in kept if t < first.get(ground.works.panel_of[t], t + 1)]
        pins = own + [pin for pin, _ in kept]
        if ground.works.has_mixes:
            pins = paid_for(ground.works, pins)
            kept = [(pin, t) for pin, t in kept if pin in pins]
        works = Works(ground.works.problem, pins, ground.works.whole_hands)
        works.run_end = ground.works.run_end
        run = decode(works, hurried(works, keys), stops=ground.stops)
        lost = {works.place[works.pins[n].panel, works.pins[n].task] for n, _ in run.missed}
        # One of the problem's own pins that cannot be kept stays missed, whatever else is freed.
        if lost <= loose or not kept:
            return Kept(works, run, frozenset(loose))
        loose |= lost


def _pins(works: Works, old: Plan, until: int) -> list[tuple[Pin, int]]:
    """Return pins, with their tasks, for the stages begun before an instant and unchanged since."""
    left: dict[int, list[PlannedSitting]] = {}
    for sitting in old.sittings:
        t = works.place.get((sitting.panel, sitting.task))
        if t is not None and micros(sitting.start) >= works.now:
            left.setdefault(t, []).append(sitting)
    found = []
    for t, sat in sorted(left.items()):
        work = sum(micros(one.end) - micros(one.start) for one in sat)
        near = micros(min(one.start for one in sat)) < until
        due = {works.work[t] * works.slot, (works.work[t] - works.saved[t]) * works.slot}
        whole = work in due and t not in works.pinned
        if near and whole and all(_is_open(works, one) for one in sat):
            pins = (Pin(s.panel, s.task, s.person, s.start, s.end, firm=False) for s in sat)
            found += [(pin, t) for pin in pins]
    return sorted(found, key=lambda one: (one[0].start, one[1]))


def _is_open(works: Works, sitting: PlannedSitting) -> bool:
    """Say whether its person is still there then, and pinned to nothing else."""
    if sitting.person not in works.people:
        return False
    hours = works.hands[works.people[sitting.person]]
    start, end = micros(sitting.start), micros(sitting.end)
    if start % works.slot or end % works.slot:
        return False
    window = hours.place(start // works.slot)
    return (
        window < len(hours.ends)
        and hours.starts[window] <= start // works.slot
        and end // works.slot <= hours.ends[window]
    )
