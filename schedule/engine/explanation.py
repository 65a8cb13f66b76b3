"""Why the last day is the last day: the chain of sittings and waits that decides it."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime, timedelta
from enum import StrEnum

from schedule.engine.leeway import Leeway, Room
from schedule.engine.plan import Plan, PlannedSitting
from schedule.engine.problem import Panel, Problem, Task


class Cause(StrEnum):
    """What holds up what comes next."""

    START = "start"
    SITTING = "sitting"
    WAIT = "wait"
    CLOSED = "closed"
    SHORT = "short"
    TURNING = "turning"
    TOGETHER = "together"
    PINNED = "pinned"
    HELD = "held"
    CHOICE = "choice"
    SLACK = "slack"


@dataclass(frozen=True, slots=True)
class Link:
    """A stretch of the deciding chain, from `since` to `until` (aware UTC).

    START: nothing can be done before `until`: now, a gate already running, the piece arriving.
    SITTING: the work on a task, of another panel where the person has her hands full with it.
    WAIT: its gate. CLOSED: no working hours. SHORT: none so long as the sitting, which is `minutes`
    long. TURNING: a face it would lie on is wet, or the rack is full. TOGETHER: what is
    worked into it wet would not fit sooner. PINNED: the painter fixed it. HELD: it could have gone
    on, but stays within the frozen days. CHOICE: it could have gone on, but the plan has it wait.
    SLACK: it could have gone on, which would have changed nothing.
    """

    cause: Cause
    since: datetime
    until: datetime
    panel: str = ""
    task: str = ""
    person: str = ""
    minutes: int = 0


def why_then(problem: Problem, plan: Plan, commission: str) -> tuple[Link, ...]:
    """Return the chain that decides when a commission finishes, in the order of time.

    Empty where the plan has no finish for it. Told backwards, each link ends where the next
    begins: the last gate, the sitting before it, and what kept that sitting from being so much
    earlier that the day were another.
    """
    finish = next((f.finish for f in plan.finishes if f.commission == commission), None)
    panels = [panel for panel in problem.panels if panel.commission == commission]
    if finish is None or not panels:
        return ()
    story = _Story(problem, plan)
    last = max(panels, key=lambda panel: (story.dry(panel), panel.key))
    return tuple(reversed(story.told(last)))


@dataclass(frozen=True, slots=True)
class _Ready:
    """When a panel is ready for a sitting, and what it waited for before that, the last first.

    `outside` says that it was nothing on the panel that it waited for in the end.
    """

    at: datetime
    waits: tuple[Link, ...]
    outside: bool


@dataclass(frozen=True, slots=True)
class _Before:
    """What held a sitting up, the sitting that comes before it in the chain, and by when that would
    have to be over for the day to be another."""

    links: list[Link]
    sitting: PlannedSitting | None = None
    by: datetime | None = None
    shown: bool = True


class _Story:
    def __init__(self, problem: Problem, plan: Plan) -> None:
        self.problem = problem
        self.panels = {panel.key: panel for panel in problem.panels}
        self.sittings = sorted(plan.sittings, key=lambda s: (s.end, s.start, s.person))
        self.opens = {(gate.panel, gate.task): gate.opens for gate in plan.gates}
        self.fixed = {(pin.task, pin.person, pin.start) for pin in problem.pins if pin.firm}
        self.leeway = Leeway(problem, plan)

    def dry(self, panel: Panel) -> datetime:
        """Return when a panel is done and dry."""
        last = self._last(panel)
        waits = self._waits(panel, last)
        return waits[0].until if waits else last.end

    def _last(self, panel: Panel) -> PlannedSitting | None:
        return next((s for s in reversed(self.sittings) if s.panel == panel.key), None)

    def told(self, panel: Panel) -> list[Link]:
        """Return the links, the last first."""
        sitting = self._last(panel)
        links = self._waits(panel, sitting)
        if links and links[-1].cause == Cause.START:
            return links
        before = _Before([], sitting, sitting.end - self.problem.slot)
        while before.sitting is not None:
            sitting = before.sitting
            if before.shown:
                span = (sitting.start, sitting.end)
                keys = (sitting.panel, sitting.task, sitting.person)
                links.append(Link(Cause.SITTING, *span, *keys))
            before = self._before(sitting, before.by, stands=before.shown)
            links += before.links
        return links

    def _waits(self, panel: Panel, last: PlannedSitting | None) -> list[Link]:
        """Return what a panel waits for from its last sitting to the end, the last first."""
        keys = [task.key for task in panel.tasks]
        begun = last.end if last else panel.opens or self.problem.now
        tasks = panel.tasks[keys.index(last.task) if last else 0 :]
        links = self._walk(panel, tasks, begun, done=last is not None)
        if not last:
            ready = links[0].since if links else begun
            links.insert(0, Link(Cause.START, min(ready, self.problem.now), ready, panel.key))
        return links[::-1]

    def _walk(
        self, panel: Panel, tasks: Sequence[Task], since: datetime, *, done: bool
    ) -> list[Link]:
        """Return the earliest starts and gates of tasks that outlast what is before them.

        `done` says that the first of them is, and only its gate counts. What comes before an
        earliest start that outlasts it decides nothing.
        """
        links: list[Link] = []
        for number, task in enumerate(tasks):
            earliest = [since, task.not_before or since]
            if task == panel.tasks[0] and panel.not_before:
                earliest.append(panel.not_before)
            if max(earliest) > since and (number or not done):
                since = max(earliest)
                links = [self._start(since, panel, task.key)]
            opens = self.opens.get((panel.key, task.key), since)
            if opens > since:
                links.append(Link(Cause.WAIT, since, opens, panel.key, task.key))
                since = opens
        return links

    def _start(self, until: datetime, panel: Panel, task: str = "") -> Link:
        return Link(Cause.START, min(self.problem.now, until), until, panel.key, task)

    def _before(self, sitting: PlannedSitting, by: datetime, *, stands: bool) -> _Before:
        """Return what kept a sitting from being over by an instant.

        One that does not stand in the plan is where it could have stood at the earliest.
        """
        panel = self.panels[sitting.panel]
        own = next((s for s in reversed(self.sittings) if self._goes_before(s, sitting)), None)
        if own is None and panel.tasks[0].begun_by:
            now = self.problem.now
            return _Before(self._gap(sitting, now) or [self._start(sitting.start, panel)])
        ready = self._ready(panel, sitting, own)
        rooms = self.leeway.rooms
        free = list(rooms(sitting, ready.at, by, free=True, own=True))
        if stands and (room := self.leeway.allowed(sitting, free)):
            return self._chosen(sitting, room)
        if free:
            return self._hindered(sitting, own, ready)
        now = self.problem.now
        taken = list(rooms(sitting, ready.at, by, free=False, own=True))
        if not taken:
            taken = list(rooms(sitting, now, by, free=True, own=False))
            if taken:
                return self._not_ready(sitting, own, ready, taken[-1])
            taken = list(rooms(sitting, now, by, free=False, own=False))
        if not taken:
            return self._shut(sitting, own, ready)
        hands = self._hands(sitting, taken[-1])
        if hands is None or (hands.end <= ready.at and taken[-1].start < ready.at):
            return self._not_ready(sitting, own, ready, taken[-1])
        return _Before(self._gap(sitting, hands.end), hands, taken[-1].start)

    def _goes_before(self, earlier: PlannedSitting, sitting: PlannedSitting) -> bool:
        return earlier.panel == sitting.panel and earlier.end <= sitting.start

    def _ready(self, panel: Panel, sitting: PlannedSitting, own: PlannedSitting | None) -> _Ready:
        """Return when a panel was ready for a sitting."""
        if own and own.task == sitting.task:
            return _Ready(own.end, (), outside=False)
        now = self.problem.now
        since = own.end if own else max(panel.opens or now, now)
        keys = [one.key for one in panel.tasks]
        first, last = keys.index(own.task) if own else 0, keys.index(sitting.task)
        task = panel.tasks[last]
        waits = self._walk(panel, panel.tasks[first:last], since, done=own is not None)
        since = waits[-1].until if waits else since
        earliest = [since, task.not_before or since]
        if last == 0:
            earliest.append(panel.not_before or since)
        ready = max(earliest)
        if ready > since:
            waits = [self._start(ready, panel, task.key)]
        elif own is None and not waits:
            waits = [self._start(ready, panel)]
        outside = own is None or (bool(waits) and waits[0].cause == Cause.START)
        return _Ready(ready, tuple(waits[::-1]), outside)

    def _hands(self, sitting: PlannedSitting, room: Room) -> PlannedSitting | None:
        """Return the last that the person does elsewhere in a room that a sitting could have."""
        return next(
            (
                one
                for one in reversed(self.leeway.taken[sitting.person])
                if one.panel != sitting.panel and one.start < room.end and one.end > room.start
            ),
            None,
        )

    def _not_ready(
        self, sitting: PlannedSitting, own: PlannedSitting | None, ready: _Ready, room: Room
    ) -> _Before:
        """What it waited for on its panel, or from outside, was not there by a room's start."""
        links = [*self._gap(sitting, ready.at), *ready.waits]
        if ready.outside:
            return _Before(links)
        return _Before(links, own, own.end - (ready.at - room.start))

    def _chosen(self, sitting: PlannedSitting, room: Room) -> _Before:
        """It could have been in a room: told from there on, with what kept it from being sooner."""
        held = self.problem.freeze is not None and sitting.start < self.problem.freeze
        cause = Cause.HELD if held else Cause.CHOICE
        if (sitting.task, sitting.person, sitting.start) in self.fixed:
            cause = Cause.PINNED
        link = self._link(cause, sitting, room.start)
        there = PlannedSitting(
            sitting.task, sitting.panel, sitting.commission, sitting.person, room.start, room.end
        )
        return _Before([link], there, room.end - self.problem.slot, shown=False)

    def _hindered(
        self, sitting: PlannedSitting, own: PlannedSitting | None, ready: _Ready
    ) -> _Before:
        """There were hours and hands for it, but other paint was wet."""
        if other := self._in_the_way(sitting, ready.at):
            link = self._link(Cause.TURNING, sitting, other.end)
            return _Before([link], other, other.end - self.problem.slot)
        panel = self.panels[sitting.panel]
        wet_run = any(task.within for task in panel.tasks)
        cause = Cause.TOGETHER if wet_run and not (panel.face or panel.rack) else Cause.TURNING
        gap = [self._link(cause, sitting, ready.at)] if ready.at < sitting.start else []
        links = [*gap, *ready.waits]
        return _Before(links) if ready.outside else _Before(links, own, own.end)

    def _shut(self, sitting: PlannedSitting, own: PlannedSitting | None, ready: _Ready) -> _Before:
        """No hours since now would do, whatever else were: told on by what is before it there."""
        links = [*self._gap(sitting, ready.at), *ready.waits]
        return _Before(links) if ready.outside else _Before(links, own, self.problem.now)

    def _link(self, cause: Cause, sitting: PlannedSitting, since: datetime) -> Link:
        minutes = 0
        if cause == Cause.SHORT:
            minutes = int((sitting.end - sitting.start).total_seconds() // 60)
        keys = (sitting.panel, sitting.task, sitting.person)
        return Link(cause, since, sitting.start, *keys, minutes)

    def _gap(self, sitting: PlannedSitting, since: datetime) -> list[Link]:
        """Return the link that fills the time in which a sitting could not, or need not, be."""
        if sitting.start < since + self.problem.slot:
            return []
        cause, length = Cause.SHORT, sitting.end - sitting.start
        rooms = self.leeway.rooms(sitting, since, sitting.end, free=False, own=True)
        if not self._is_open(sitting.person, since, sitting.start):
            cause = Cause.CLOSED
        elif any(room.length == length for room in rooms):
            cause = Cause.SLACK
        return [self._link(cause, sitting, since)]

    def _is_open(self, person: str, since: datetime, until: datetime) -> bool:
        """Say whether the person had a slot or more of open time in between."""
        spans = (
            min(window.end, until) - max(window.start, since)
            for window in self.leeway.windows[person]
        )
        return any(span >= self.problem.slot for span in spans)

    def _in_the_way(self, sitting: PlannedSitting, since: datetime) -> PlannedSitting | None:
        """Return the sitting whose paint was wet in the way till just before another, if any."""
        panel = self.panels[sitting.panel]
        lies_on = {face.key: face.lies_on for face in self.problem.faces}.get(panel.face, ())
        found: list[tuple[datetime, PlannedSitting]] = []
        for other in self.sittings:
            beside = self.panels[other.panel]
            in_the_way = beside.face in lies_on or (panel.rack and beside.rack)
            if other.panel == sitting.panel or not in_the_way or other.end > sitting.start:
                continue
            gate = self.leeway.tasks[other.panel, other.task].gate
            dry = other.end + (gate.touchable if gate else timedelta(0))
            if since < dry <= sitting.start:
                found.append((dry, other))
        return max(found, key=lambda one: one[0])[1] if found else None
