"""Where else a sitting of a plan could stand, sooner, with all the rest left where it is."""

from collections import defaultdict
from collections.abc import Iterable, Iterator
from dataclasses import dataclass, replace
from datetime import datetime, timedelta

from schedule.engine.judge import faults_as_laid
from schedule.engine.judge_measures import bounds_in_slots
from schedule.engine.plan import Plan, PlannedSitting
from schedule.engine.problem import EPOCH, Problem

TRIED = 24
"""So many places of a sitting are put to the judge, spread over all there are."""

type Stretch = tuple[datetime, datetime]


@dataclass(frozen=True, slots=True)
class Room:
    """A place for a sitting or the first part of it, from `start` for `length`."""

    start: datetime
    length: timedelta

    @property
    def end(self) -> datetime:
        """The instant up to which it lasts (aware UTC)."""
        return self.start + self.length


class Leeway:
    """The room that a plan leaves for its sittings, by hours and hands, and by the judge."""

    def __init__(self, problem: Problem, plan: Plan) -> None:
        self.problem, self.plan = problem, plan
        self.tasks = {(p.key, t.key): t for p in problem.panels for t in p.tasks}
        self.windows = {person.key: person.windows for person in problem.people}
        self.taken: dict[str, list[PlannedSitting]] = defaultdict(list)
        for sitting in sorted(plan.sittings, key=lambda one: (one.start, one.end)):
            self.taken[sitting.person].append(sitting)
        self.laid: frozenset[str] | None = None

    def least(self, sitting: PlannedSitting) -> timedelta:
        """Return the shortest stretch that would do for a sitting or a first part of it."""
        shortest, _ = bounds_in_slots(self.tasks[sitting.panel, sitting.task], self.problem.slot)
        length = sitting.end - sitting.start
        part = shortest * self.problem.slot
        return part if 2 * part <= length else length

    def rooms(
        self, sitting: PlannedSitting, since: datetime, by: datetime, *, free: bool, own: bool
    ) -> Iterator[Room]:
        """Yield where a sitting could begin sooner, in the order of time, to end by an instant.

        Not before `since`; `free`: only where its person does nothing else; `own` says that other
        sittings on its panel count as something else.
        """
        slot, length = self.problem.slot, sitting.end - sitting.start
        least = self.least(sitting)
        _, longest = bounds_in_slots(self.tasks[sitting.panel, sitting.task], slot)
        for start, end in self._stretches(sitting, since, free=free, own=own):
            moment = start
            while moment + length <= min(end, by) and moment < sitting.start:
                yield Room(moment, length)
                moment += slot
            part = min(end - start, sitting.start - start - slot, longest * slot, length - least)
            part = part // slot * slot
            if least <= part < length and sitting.end - part <= by and start + length > end:
                yield Room(start, part)

    def _stretches(
        self, sitting: PlannedSitting, since: datetime, *, free: bool, own: bool
    ) -> Iterator[Stretch]:
        """Yield the open time of a sitting's person from `since` to its end, on the slots."""
        since = max(since, self.problem.now)
        busy = [
            one
            for one in self.taken[sitting.person]
            if free and one != sitting and (own or one.panel != sitting.panel)
        ]
        for window in self.windows[sitting.person]:
            if window.start >= sitting.start:
                break
            start, end = max(window.start, since), min(window.end, sitting.end)
            for one in busy:
                if one.end <= start or one.start >= end:
                    continue
                yield from self._on_slots(start, one.start)
                start = one.end
            yield from self._on_slots(start, end)

    def _on_slots(self, start: datetime, end: datetime) -> Iterator[Stretch]:
        slot = self.problem.slot
        start += (EPOCH - start) % slot
        if start + slot <= end:
            yield start, end - (end - EPOCH) % slot

    def allowed(self, sitting: PlannedSitting, rooms: Iterable[Room]) -> Room | None:
        """Return the first of some rooms in which the judge lets a sitting be, None for none."""
        rooms = list(rooms)
        step = -(-len(rooms) // TRIED) or 1
        if self.laid is None:
            self.laid = frozenset(faults_as_laid(self.problem, self.plan))
        for number in range(0, len(rooms), step):
            if self._is_sound(sitting, rooms[number]):
                passed_over = rooms[max(0, number - step + 1) : number]
                sound = (one for one in passed_over if self._is_sound(sitting, one))
                return next(sound, rooms[number])
        return None

    def _is_sound(self, sitting: PlannedSitting, room: Room) -> bool:
        return self.laid.issuperset(faults_as_laid(self.problem, self.moved(sitting, room)))

    def moved(self, sitting: PlannedSitting, room: Room) -> Plan:
        """Return the plan with a sitting, or the first part of it, in another place."""
        whole = room.length == sitting.end - sitting.start
        parts = [replace(sitting, start=room.start, end=room.end)]
        if not whole:
            parts.append(replace(sitting, end=sitting.end - room.length))
        sittings = [one for one in self.plan.sittings if one != sitting] + parts
        key = (sitting.panel, sitting.task)
        end = max(one.end for one in sittings if (one.panel, one.task) == key)
        gates = tuple(
            replace(gate, opens=end + self.tasks[key].gate.wait)
            if (gate.panel, gate.task) == key
            else gate
            for gate in self.plan.gates
        )
        return replace(self.plan, sittings=tuple(sittings), gates=gates)
