"""Pins: which of them can hold together, and what must hurry for them to hold."""

from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace

from schedule.engine.decoder import Run, decode
from schedule.engine.hands import OpenTime
from schedule.engine.obstacles import obstacles
from schedule.engine.plan import Trouble, TroubleKind
from schedule.engine.problem import Pin, Problem
from schedule.engine.works import Works, spared

EVER = 1 << 62
HURRY = 1e9
"""What puts a task before all that no pin waits for."""


@dataclass(frozen=True, slots=True)
class Ground:
    """A problem laid out with the pins that hold, what can never be planned, and a first decode."""

    works: Works
    stops: dict[int, Trouble]
    dropped: tuple[Trouble, ...]
    keys: list[float]
    run: Run


def settled(problem: Problem, rule: Callable[[Works], list[float]]) -> Ground:
    """Return a problem with a first decode by a rule, pins that cannot hold dropped.

    Of pins that collide the firm one stays, or else the earlier. A pin that what goes before it on
    its panel does not let hold is dropped too, the earliest first, and the rest is tried again.
    """
    works = Works(problem)
    stops = obstacles(works)
    pins, dropped = _apart(works, stops)
    pins = paid_for(works, pins)
    works = _with_pins(works, pins) if pins else works
    while True:
        keys = hurried(works, rule(works))
        run = decode(works, keys, stops=stops)
        if not run.missed:
            return Ground(works, stops, tuple(dropped), keys, run)
        gone = [run.missed[0], *(one for one in run.missed[1:] if not pins[one[0]].firm)]
        for n, early in gone:
            if pins[n].firm:
                dropped.append(_early(works, pins[n], early))
        lost = {n for n, _ in gone}
        pins = paid_for(works, [pin for n, pin in enumerate(pins) if n not in lost])
        works = _with_pins(works, pins)


def paid_for(works: Works, pins: list[Pin]) -> list[Pin]:
    """Return the pins less those, not firm, that hold a task without its set-up, none paying it."""
    while True:
        paid = spared(works, pins)
        slots: dict[int, int] = {}
        for pin in pins:
            t = works.place[pin.panel, pin.task]
            start, end = works.span(pin)
            slots[t] = slots.get(t, 0) + end - start
        short = {
            t
            for t, held in slots.items()
            if t not in paid and works.work[t] - works.saved[t] <= held < works.work[t]
        }
        kept = [pin for pin in pins if pin.firm or works.place[pin.panel, pin.task] not in short]
        if len(kept) == len(pins):
            return pins
        pins = kept


def _with_pins(works: Works, pins: list[Pin]) -> Works:
    laid_out = Works(works.problem, pins, works.whole_hands)
    laid_out.run_end = works.run_end
    return laid_out


def hurried(works: Works, keys: Sequence[float]) -> list[float]:
    """Return the keys with all that a pin waits for put first, the most pressed before the rest."""
    hurried = list(keys)
    for t, numbers in works.pinned.items():
        start = works.span(works.pins[numbers[0]])[0] * works.slot
        for before in range(works.first[works.panel_of[t]], t + 1):
            latest = start - works.tail[before] + works.tail[t]
            hurried[before] = min(hurried[before], (latest - works.now) / works.slot - HURRY)
    return hurried


def _is_stopped(works: Works, stops: dict[int, Trouble], pin: Pin) -> bool:
    t = works.place[pin.panel, pin.task]
    return any(n in stops for n in range(works.first[works.panel_of[t]], t + 1))


def _apart(works: Works, stops: dict[int, Trouble]) -> tuple[list[Pin], list[Trouble]]:
    """Return the pins still to come that do not collide, and the troubles of those that do.

    One of a task that is never planned is left out without a word: its own trouble tells of it.
    """
    kept: list[Pin] = []
    dropped: list[Trouble] = []
    ahead = [pin for pin in works.problem.pins if pin.start >= works.problem.now]
    ahead.sort(key=lambda pin: (not pin.firm, pin.start, pin.panel, pin.task))
    once = {(pin.panel, pin.task, pin.person, pin.start, pin.end): pin for pin in reversed(ahead)}
    for pin in reversed(once.values()):
        t = works.place[pin.panel, pin.task]
        clash = next((one for one in kept if _collide(works, one, pin)), None)
        p = works.panel_of[t]
        wet = t > works.first[p] or works.touched[p] is not None
        inside = works.within[t] is not None and wet
        begins = works.run_end[t] > t + 1
        inside |= begins and not works.able[t + 1] >> works.people[pin.person] & 1
        if _is_stopped(works, stops, pin):
            continue
        if clash is None and not inside and not _is_at_work(works, pin):
            kept.append(pin)
        elif pin.firm:
            dropped.append(_clash(works, pin, clash) if clash else _early(works, pin, -1))
    return sorted(kept, key=lambda pin: (pin.start, pin.panel, pin.task)), dropped


def _is_at_work(works: Works, pin: Pin) -> bool:
    """Say whether its person is at something this minute that the pin would break off."""
    begun = {panel.tasks[0].begun_by for p, panel in enumerate(works.panels) if works.begun[p]}
    first = works.now // works.slot + 1
    return pin.person in begun and works.span(pin)[0] < first


def _collide(works: Works, one: Pin, other: Pin) -> bool:
    if one.person == other.person and one.start < other.end and other.start < one.end:
        return True
    if one.panel != other.panel:
        return _turn(works, one, other)
    first, later = sorted((one, other), key=lambda pin: works.place[pin.panel, pin.task])
    if one.task == other.task:
        return one.person != other.person or (one.start < other.end and other.start < one.end)
    between = range(works.place[first.panel, first.task], works.place[later.panel, later.task])
    wait = sum(works.wait[t] for t in between)
    wait += sum(works.work[t] for t in between[1:]) * works.slot
    return works.span(first)[1] * works.slot + wait > works.span(later)[0] * works.slot


def _turn(works: Works, one: Pin, other: Pin) -> bool:
    """Say whether one of two pins lays a face down on what the other leaves wet."""
    pairs = [(one, other), (other, one)]
    for beneath, above in pairs:
        wet, laid = (works.place[pin.panel, pin.task] for pin in (beneath, above))
        face, on = (works.face_of[works.panel_of[t]] for t in (wet, laid))
        if face < 0 or on < 0 or face not in works.lies_on[on]:
            continue
        start, end = works.span(beneath)
        begins, ends = works.span(above)
        if start < ends and begins * works.slot < end * works.slot + works.wet[wet]:
            return True
    return False


def _clash(works: Works, pin: Pin, kept: Pin) -> Trouble:
    t, other = works.place[pin.panel, pin.task], works.place[kept.panel, kept.task]
    commission = works.panels[works.panel_of[t]].commission
    apart = pin.end <= kept.start or kept.end <= pin.start
    if apart and pin.panel == kept.panel and t > other:
        return _early(works, pin, other)
    kind = TroubleKind.PIN_CLASH
    return Trouble(kind, commission, pin.panel, pin.task, 0, kept.panel, kept.task)


def _early(works: Works, pin: Pin, early: int) -> Trouble:
    """Return the trouble of a pin that comes too early, with the fewest that make it so.

    Where what goes before it could be done in time if there were nothing else, it is `early`.
    """
    t = works.place[pin.panel, pin.task]
    commission = works.panels[works.panel_of[t]].commission
    trouble = Trouble(TroubleKind.PIN_EARLY, commission, pin.panel, pin.task)
    start = works.span(pin)[0] * works.slot
    before = list(range(works.first[works.panel_of[t]], t))
    if max(works.opens[works.panel_of[t]], works.release[t]) > start:
        return replace(trouble, kind=TroubleKind.PIN_SHUT)
    if early >= 0 and _ready(works, t, before) > start:
        for n in list(before):
            rest = [one for one in before if one != n]
            before = rest if _ready(works, t, rest) > start else before
    else:
        before = [early] if early >= 0 else []
    if not before:
        return trouble
    trouble = replace(trouble, other_panel=pin.panel, other_task=works.tasks[before[-1]].key)
    if len(before) == 1:
        return trouble
    return replace(trouble, together=tuple((pin.panel, works.tasks[n].key) for n in before))


def _ready(works: Works, t: int, before: Sequence[int]) -> int:
    """Return the earliest a task could start if only these, before it on its panel, were done."""
    ready = max(works.opens[works.panel_of[t]], works.now)
    for n in before:
        ready = max(ready, works.release[n])
        if works.work[n]:
            slot = -(-ready // works.slot)
            work = works.work[n] - works.saved[n]
            ends = [
                _done(hours, slot, work)
                for place, hours in enumerate(works.whole_hands)
                if works.able[n] >> place & 1
            ]
            ready = min(ends, default=EVER) * works.slot
        ready += works.wait[n]
    return ready


def _done(hours: OpenTime, slot: int, work: int) -> int:
    """Return the slot by which so many slots of work can be done from a slot on."""
    for window in range(hours.place(slot), len(hours.ends)):
        at = max(slot, hours.starts[window])
        if work <= hours.ends[window] - at:
            return at + work
        work -= hours.ends[window] - at
    return EVER
