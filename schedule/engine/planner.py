"""The planner: a forward dispatch that never idles while something is ready and fits."""

import heapq
from bisect import insort
from datetime import timedelta

from schedule.engine.chains import Chain, Rank
from schedule.engine.outcome import finishes, troubles
from schedule.engine.plan import Plan, PlannedSitting
from schedule.engine.problem import Problem
from schedule.engine.slots import MINUTE, Grid, OpenTime, running_sitting, sitting


def make_plan(problem: Problem) -> Plan:
    """Return a plan for the problem; the same problem always gives the same plan.

    Time moves forward; whenever someone is free, she takes up, of the panels that are ready and
    have a sitting that fits, the one whose commission is wanted first (then the weightiest, then
    the one with the most work and waiting ahead, then by key). A task's work is rounded up to
    whole slots and done by one person. It is cut where a window ends or the longest sitting is
    reached, so that no rest is under the shortest sitting; only where no cut into the open time
    left avoids that is the very last sitting shorter. Between two sittings of one task lies at
    least a slot. A sitting begun goes on at once, or, out of hours, first thing in her next
    window. What cannot be planned is named in the troubles, and the rest is planned.
    """
    dispatch = _Dispatch(problem)
    dispatch.run()
    chains = dispatch.chains
    finished = finishes(problem, chains)
    gates = (gate for chain in chains for gate in chain.gates)
    return Plan(
        sittings=tuple(sorted(dispatch.sittings, key=lambda sat: (sat.start, sat.person))),
        gates=tuple(sorted(gates, key=lambda gate: (gate.opens, gate.panel, gate.task))),
        finishes=finished,
        troubles=troubles(problem, chains, dispatch.hands, finished),
    )


class _Dispatch:
    """The moving parts of one planning run: hands, panels waiting to be ready, panels ready."""

    def __init__(self, problem: Problem) -> None:
        self.problem = problem
        self.grid = Grid(problem.slot)
        self.hands = [OpenTime.of(person, self.grid) for person in problem.people]
        commissions = {commission.key: commission for commission in problem.commissions}
        self.chains = [
            Chain.of(panel, commissions[panel.commission], problem) for panel in problem.panels
        ]
        self.sittings: list[PlannedSitting] = []
        self.waiting: list[tuple[int, int]] = []
        self.ready: list[tuple[Rank, int]] = []
        self.present = self.grid.up(problem.now)
        self.free = [self.present for _ in self.hands]
        self.wake: list[int | None] = [None for _ in self.hands]
        self.calls: list[tuple[int, int]] = []

    def run(self) -> None:
        """Plan until nothing is left or nobody has time for what is left."""
        places = {hours.key: place for place, hours in enumerate(self.hands)}
        for number, chain in enumerate(self.chains):
            if chain.person:
                self._go_on(number, places[chain.person])
            else:
                self._queue(number)
        for place, free in enumerate(self.free):
            self._call(place, free)
        while self.calls and (self.waiting or self.ready):
            slot, place = heapq.heappop(self.calls)
            if self.wake[place] == slot:
                self._serve(place, slot)

    def _serve(self, place: int, slot: int) -> None:
        """Give the person something to do at this slot, or call her again when that may change."""
        self.wake[place] = None
        hours = self.hands[place]
        opening = hours.next_open(max(slot, self.free[place]))
        if opening is None:
            return
        at, end = opening
        if at > slot:
            self._call(place, at)
            return
        while self.waiting and self.waiting[0][0] <= at:
            number = heapq.heappop(self.waiting)[1]
            insort(self.ready, (self.chains[number].rank, number))
        if self._take(hours, place, at, end):
            self._call(place, self.free[place])
            return
        self._call(place, hours.next_start(at))
        if self.waiting:
            self._call(place, self.waiting[0][0])

    def _take(self, hours: OpenTime, place: int, at: int, end: int) -> bool:
        """Plan a sitting of the first panel in the queue that fits here; say whether one did."""
        for queued, (_, number) in enumerate(self.ready):
            chain = self.chains[number]
            if chain.person not in ("", hours.key):
                continue
            bounds = chain.bounds
            loose = chain.loose if chain.started else not bounds.can_cut(chain.rest, hours.room(at))
            size = sitting(chain.rest, at, end, bounds, hours, loose=loose)
            if size:
                del self.ready[queued]
                chain.loose = loose
                start, stop = self.grid.moment(at), self.grid.moment(at + size)
                self.sittings.append(chain.sit(hours.key, start, stop, chain.rest - size))
                self.free[place] = at + size
                self._queue(number)
                return True
        return False

    def _go_on(self, number: int, place: int) -> None:
        """Plan the sitting that is running: from now, or first thing in the next window."""
        chain, hours, now = self.chains[number], self.hands[place], self.problem.now
        at, start = self.present, now
        span = next((w for w in self.problem.people[place].windows if w.start <= now < w.end), None)
        begun = self.grid.moment(at) - now
        if span is None or self.grid.down(span.end) < at + (not begun):
            opening = hours.next_open(at)
            if opening is None:
                return
            at, end = opening
            start, begun = self.grid.moment(at), timedelta(0)
        else:
            end = self.grid.down(span.end)
        bounds = chain.bounds
        work = max(0, self.grid.count(chain.panel.tasks[0].minutes * MINUTE - begun))
        space = min(end - at, bounds.longest - bool(begun))
        size = running_sitting(work, at, space, bounds, hours, least=not begun)
        chain.loose = not bounds.can_cut(work - size, hours.room(at + size))
        sat = chain.sit(hours.key, start, self.grid.moment(at + size), work - size)
        self.sittings.append(sat)
        self.free[place] = at + size
        self._queue(number)

    def _queue(self, number: int) -> None:
        """Let a panel wait for the slot it is ready at, and wake whoever idles by then."""
        chain = self.chains[number]
        if chain.task is None:
            return
        slot = self.grid.up(chain.ready)
        heapq.heappush(self.waiting, (slot, number))
        for place, free in enumerate(self.free):
            self._call(place, max(slot, free))

    def _call(self, place: int, slot: int | None) -> None:
        """Call a person at a slot, unless she is called earlier anyway."""
        due = self.wake[place]
        if slot is not None and (due is None or slot < due):
            self.wake[place] = slot
            heapq.heappush(self.calls, (slot, place))
