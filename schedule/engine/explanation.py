"""Why the last day is the last day: the chain of sittings and waits that decides it."""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from datetime import datetime, timedelta
from enum import StrEnum

from schedule.engine.plan import Plan, PlannedSitting
from schedule.engine.problem import Panel, Problem, Task


class Cause(StrEnum):
    """What holds up what comes next."""

    START = "start"
    SITTING = "sitting"
    WAIT = "wait"
    CLOSED = "closed"
    TURNING = "turning"
    CHOICE = "choice"


@dataclass(frozen=True, slots=True)
class Link:
    """A stretch of the deciding chain, from `since` to `until` (aware UTC).

    START: nothing can be done before `until`: now, a gate already running, the piece arriving.
    SITTING: the work on a task, of another panel where the person has her hands full with it.
    WAIT: its gate. CLOSED: no working hours. TURNING: a face it would lie on, or the rack, is wet.
    CHOICE: it could have gone on, but the plan has it wait: a pin, or a break between sittings.
    """

    cause: Cause
    since: datetime
    until: datetime
    panel: str = ""
    task: str = ""
    person: str = ""


def why_then(problem: Problem, plan: Plan, commission: str) -> tuple[Link, ...]:
    """Return the chain that decides when a commission finishes, in the order of time.

    Empty where the plan has no finish for it. Told backwards, each link ends where the next
    begins: the last gate, the sitting before it, and what kept that sitting from being earlier.
    """
    finish = next((f.finish for f in plan.finishes if f.commission == commission), None)
    panels = [panel for panel in problem.panels if panel.commission == commission]
    if finish is None or not panels:
        return ()
    story = _Story(problem, plan)
    last = max(panels, key=lambda panel: (story.dry(panel), panel.key))
    return tuple(reversed(story.told(last)))


class _Story:
    def __init__(self, problem: Problem, plan: Plan) -> None:
        self.problem = problem
        self.panels = {panel.key: panel for panel in problem.panels}
        self.people = {person.key: person for person in problem.people}
        self.sittings = sorted(plan.sittings, key=lambda s: (s.end, s.start, s.person))
        self.opens = {(gate.panel, gate.task): gate.opens for gate in plan.gates}

    def dry(self, panel: Panel) -> datetime:
        """Return when a panel is done and dry."""
        last = self._last(panel)
        waits = self._waits(panel, last.task if last else "", last.end if last else None)
        return waits[0].until if waits else last.end

    def _last(self, panel: Panel) -> PlannedSitting | None:
        return next((s for s in reversed(self.sittings) if s.panel == panel.key), None)

    def told(self, panel: Panel) -> list[Link]:
        """Return the links, the last first."""
        links: list[Link] = []
        sitting = self._last(panel)
        links += self._waits(panel, sitting.task if sitting else "", sitting and sitting.end)
        while sitting is not None:
            links.append(
                Link(
                    Cause.SITTING,
                    sitting.start,
                    sitting.end,
                    sitting.panel,
                    sitting.task,
                    sitting.person,
                )
            )
            held_up, sitting = self._before(sitting)
            links += held_up
        return links

    def _waits(self, panel: Panel, after: str, since: datetime | None) -> list[Link]:
        """Return what a panel waits for from a task on, to the end, the last first."""
        keys = [task.key for task in panel.tasks]
        begun = since or panel.opens or self.problem.now
        links = self._walk(panel, panel.tasks[keys.index(after) if after else 0 :], begun)
        if not after:
            ready = links[0].since if links else begun
            links.insert(0, Link(Cause.START, min(ready, self.problem.now), ready, panel.key))
        return links[::-1]

    def _walk(self, panel: Panel, tasks: Sequence[Task], since: datetime) -> list[Link]:
        """Return the earliest starts and gates of tasks that outlast what is before them."""
        links: list[Link] = []
        for task in tasks:
            earliest = [since, task.not_before or since]
            if task == panel.tasks[0] and panel.not_before:
                earliest.append(panel.not_before)
            opens = self.opens.get((panel.key, task.key), since)
            for cause, until in ((Cause.START, max(earliest)), (Cause.WAIT, opens)):
                if until > since:
                    links.append(Link(cause, since, until, panel.key, task.key))
                    since = until
        return links

    def _before(self, sitting: PlannedSitting) -> tuple[list[Link], PlannedSitting | None]:
        """Return what held a sitting up, and the sitting before that in the chain."""
        panel = self.panels[sitting.panel]
        own = next((s for s in reversed(self.sittings) if self._goes_before(s, sitting)), None)
        if own is None and panel.tasks[0].begun_by:
            now = min(self.problem.now, sitting.start)
            return [Link(Cause.START, now, sitting.start, panel.key)], None
        ready, waits = self._ready(panel, sitting, own)
        taken = [s for s in self.sittings if s.person == sitting.person and s.end <= sitting.start]
        hands = taken[-1] if taken else None
        if hands and hands.end > ready and hands.panel != sitting.panel:
            gap = self._gap(sitting, hands.end)
            return gap, hands
        gap = self._gap(sitting, ready)
        start = ready if gap else sitting.start
        if waits and waits[0].until != start:
            waits[0] = replace(waits[0], until=start)
        if own is None and not waits:
            waits = [Link(Cause.START, min(self.problem.now, start), start, panel.key)]
        return [*gap, *waits], own

    def _goes_before(self, earlier: PlannedSitting, sitting: PlannedSitting) -> bool:
        return earlier.panel == sitting.panel and earlier.end <= sitting.start

    def _ready(
        self, panel: Panel, sitting: PlannedSitting, own: PlannedSitting | None
    ) -> tuple[datetime, list[Link]]:
        """Return when a panel was ready for a sitting, and the gates it waited for before that."""
        task = next(task for task in panel.tasks if task.key == sitting.task)
        if own and own.task == sitting.task:
            return own.end, []
        since = own.end if own else (panel.opens or self.problem.now)
        keys = [one.key for one in panel.tasks]
        first, last = keys.index(own.task) if own else 0, keys.index(sitting.task)
        waits = self._walk(panel, panel.tasks[first:last], since)
        since = waits[-1].until if waits else since
        earliest = [since, self.problem.now, task.not_before or since]
        if own is None and last == 0:
            earliest.append(panel.not_before or since)
        ready = max(earliest)
        if ready > since:
            waits.append(Link(Cause.START, since, ready, panel.key, sitting.task))
        return ready, waits[::-1]

    def _gap(self, sitting: PlannedSitting, since: datetime) -> list[Link]:
        """Return the links that fill the time from which a sitting could have been had."""
        if sitting.start < since + self.problem.slot:
            return []
        cause = Cause.CHOICE
        if not self._is_open(sitting.person, since, sitting.start):
            cause = Cause.CLOSED
        elif self._is_hindered(sitting, since):
            cause = Cause.TURNING
        return [Link(cause, since, sitting.start, sitting.panel, sitting.task, sitting.person)]

    def _is_open(self, person: str, since: datetime, until: datetime) -> bool:
        """Say whether the person had a slot or more of open time in between."""
        spans = (
            min(window.end, until) - max(window.start, since)
            for window in self.people[person].windows
        )
        return any(span >= self.problem.slot for span in spans)

    def _is_hindered(self, sitting: PlannedSitting, since: datetime) -> bool:
        """Say whether another part was wet in the way till just before the sitting."""
        panel = self.panels[sitting.panel]
        lies_on = {face.key: face.lies_on for face in self.problem.faces}.get(panel.face, ())
        for other in self.sittings:
            beside = self.panels[other.panel]
            in_the_way = beside.face in lies_on or (panel.rack and beside.rack)
            if other.panel == sitting.panel or not in_the_way:
                continue
            task = next(task for task in beside.tasks if task.key == other.task)
            dry = other.end + (task.gate.touchable if task.gate else timedelta(0))
            if since < dry <= sitting.start < dry + self.problem.slot:
                return True
        return False
