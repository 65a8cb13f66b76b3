"""The problem in whole numbers, laid out once for many plans.

Tasks are numbered through all panels, panels in the order of their keys, so that the order in
which a problem is told changes nothing. Lengths of work are in slots, instants and waits in
microseconds.
"""

from collections.abc import Sequence
from datetime import timedelta

from schedule.engine.hands import OpenTime, Span, micros
from schedule.engine.problem import Panel, Pin, Problem, Task
from schedule.engine.slots import MICROS

MICRO = timedelta(microseconds=1)


class Works:
    """A problem laid out for the decoder, with the pins that are to be kept.

    `hands` is the people's whole time, where it was laid out for the same problem before.

    `first[p]` to `last[p]` number the tasks of panel p; all other lists go by task, panel, person
    or commission as their first letter says. A rest of fewer than `uncut[t]` slots is done at one
    sitting where she has the time; no sitting is of fewer slots than `least`, or than `tiny` where
    a set-up is shared. `pinned_work[t]` is the work on a task with pins, less a set-up that another
    pin pays.
    """

    def __init__(
        self, problem: Problem, pins: Sequence[Pin] = (), hands: Sequence[OpenTime] | None = None
    ) -> None:
        self.problem = problem
        self.slot = problem.slot // MICRO
        self.now = micros(problem.now)
        self.present = -(-self.now // self.slot)
        self.pins = pins
        self.people = {person.key: place for place, person in enumerate(problem.people)}
        self.commissions = sorted(problem.commissions, key=lambda c: c.key)
        self.panels = sorted(problem.panels, key=lambda p: (p.commission, p.key))
        self._lay_out_panels()
        self._lay_out_tasks()
        self._lay_out_hands(hands)
        self._lay_out_pins()
        self._lay_out_faces()

    def _lay_out_panels(self) -> None:
        number = {commission.key: n for n, commission in enumerate(self.commissions)}
        self.wanted = [micros(c.wanted) if c.wanted else None for c in self.commissions]
        self.weight = [c.weight for c in self.commissions]
        self.commission_of = [number[panel.commission] for panel in self.panels]
        self.opens = [self._opens(panel) for panel in self.panels]
        self.touched = [micros(p.touched) if p.touched else None for p in self.panels]
        until = [panel.wet_until or panel.opens for panel in self.panels]
        self.wet_until = [micros(moment) if moment else 0 for moment in until]
        self.begun = [bool(p.tasks and p.tasks[0].begun_by) for p in self.panels]

    def _opens(self, panel: Panel) -> int:
        opens = micros(panel.opens) if panel.opens else self.now
        waits = panel.not_before and panel.tasks
        return max(opens, micros(panel.not_before)) if waits else opens

    def _lay_out_tasks(self) -> None:
        self.tasks: list[Task] = [task for panel in self.panels for task in panel.tasks]
        self.panel_of = [p for p, panel in enumerate(self.panels) for _ in panel.tasks]
        self.first, self.last = [], []
        end = 0
        for panel in self.panels:
            self.first.append(end)
            end += len(panel.tasks)
            self.last.append(end)
        minutes = self.slot // (60 * MICROS)
        self.work = [-(-task.minutes // minutes) for task in self.tasks]
        bare = [-(-(task.minutes - task.set_up) // minutes) for task in self.tasks]
        self.saved = [full - less for full, less in zip(self.work, bare, strict=True)]
        self.shortest = [-(-task.shortest // minutes) for task in self.tasks]
        self.longest = [
            max(shortest, task.longest // minutes)
            for task, shortest in zip(self.tasks, self.shortest, strict=True)
        ]
        self.uncut = [
            min(2 * shortest, longest + 1)
            for shortest, longest in zip(self.shortest, self.longest, strict=True)
        ]
        worked = [t for t, work in enumerate(self.work) if work]
        self.least = min((min(self.shortest[t], self.work[t]) for t in worked), default=1)
        self.tiny = min((min(self.least, self.work[t] - self.saved[t]) for t in worked), default=1)
        gates = [task.gate for task in self.tasks]
        self.wait = [gate.wait // MICRO if gate else 0 for gate in gates]
        self.wet = [gate.touchable // MICRO if gate else 0 for gate in gates]
        self.within = [None if t.within is None else t.within // MICRO for t in self.tasks]
        self.release = [micros(t.not_before) if t.not_before else 0 for t in self.tasks]
        mixes = {mix: n for n, mix in enumerate(sorted({task.mix for task in self.tasks} - {""}))}
        self.mix = [mixes.get(task.mix, -1) for task in self.tasks]
        self.has_mixes = bool(mixes)
        self._lay_out_runs()

    def _lay_out_runs(self) -> None:
        """Number where the wet run that a task begins ends, and how long a panel still takes."""
        self.run_end = list(range(1, len(self.tasks) + 1))
        self.tail = [0] * len(self.tasks)
        for first, last in zip(self.first, self.last, strict=True):
            tail = 0
            for t in range(last - 1, first - 1, -1):
                tail += self.tasks[t].minutes * 60 * MICROS + self.wait[t]
                self.tail[t] = tail
                if t + 1 < last and self.within[t + 1] is not None:
                    self.run_end[t] = self.run_end[t + 1]

    def _lay_out_hands(self, hands: Sequence[OpenTime] | None) -> None:
        people = self.problem.people
        skills = sorted({task.skill for task in self.tasks})
        who = {
            skill: sum(1 << n for n, p in enumerate(people) if not skill or skill in p.skills)
            for skill in skills
        }
        self.able = [who[task.skill] for task in self.tasks]
        for t in range(len(self.tasks) - 1, -1, -1):
            if self.run_end[t] > t + 1:
                self.able[t] &= self.able[t + 1]
        taken: list[list[Span]] = [[] for _ in people]
        for pin in self.pins:
            taken[self.people[pin.person]].append(self.span(pin))
        self.whole_hands = hands or [OpenTime.of(person, self.slot) for person in people]
        self.hands = [
            whole.less(self.slot, spans) if spans else whole
            for spans, whole in zip(taken, self.whole_hands, strict=True)
        ]

    def span(self, pin: Pin) -> Span:
        """Return the slots of a pin."""
        return micros(pin.start) // self.slot, micros(pin.end) // self.slot

    def _lay_out_pins(self) -> None:
        place = {(self.panels[p].key, self.tasks[t].key): t for t, p in enumerate(self.panel_of)}
        self.pinned: dict[int, list[int]] = {}
        for n, pin in sorted(enumerate(self.pins), key=lambda pair: (pair[1].start, pair[0])):
            self.pinned.setdefault(place[pin.panel, pin.task], []).append(n)
        self.place = place
        paid = spared(self, self.pins) if self.has_mixes else frozenset()
        self.pinned_work = {t: self.work[t] - self.saved[t] * (t in paid) for t in self.pinned}

    def _lay_out_faces(self) -> None:
        """Number the faces, what each lies on, what lies on it, and the piece each is of."""
        faces = sorted(self.problem.faces, key=lambda face: face.key)
        number = {face.key: n for n, face in enumerate(faces)}
        self.face_of = [number.get(panel.face, -1) for panel in self.panels]
        self.lies_on = [sorted({number[key] for key in face.lies_on}) for face in faces]
        self.borne_by = [
            [n for n, lies_on in enumerate(self.lies_on) if face in lies_on]
            for face in range(len(faces))
        ]
        self.piece = list(range(len(faces)))
        for face, others in enumerate(self.lies_on):
            for other in others:
                old, new = self.piece[other], self.piece[face]
                self.piece = [new if piece == old else piece for piece in self.piece]
        racked = self.problem.rack is not None and any(p.rack for p in self.panels)
        self.guarded = racked or any(self.lies_on[f] or self.borne_by[f] for f in range(len(faces)))


def spared(works: Works, pins: Sequence[Pin]) -> frozenset[int]:
    """Return the tasks whose pins hold all there is to do if another pin has paid their set-up.

    That is an earlier one of the same mix, by the same person on the same working day.
    """
    slots: dict[int, int] = {}
    used: dict[tuple[str, int, int], list[Span]] = {}
    first: dict[int, tuple[tuple[str, int, int], Span]] = {}
    for pin in sorted(pins, key=lambda pin: pin.start):
        t, span = works.place[pin.panel, pin.task], works.span(pin)
        slots[t] = slots.get(t, 0) + span[1] - span[0]
        day = works.whole_hands[works.people[pin.person]].day(span[0] * works.slot)
        palette = (pin.person, day, works.mix[t])
        first.setdefault(t, (palette, span))
        used.setdefault(palette, []).append(span)
    return frozenset(
        t
        for t, (palette, (begins, _)) in first.items()
        if works.saved[t] and slots[t] >= works.work[t] - works.saved[t]
        if not works.tasks[t].begun_by
        if any(over <= begins for _, over in used[palette])
    )
