"""The judge of wet paint: maximum waits, turning and the rack."""

from collections import defaultdict
from collections.abc import Iterator
from dataclasses import dataclass
from datetime import UTC, datetime

from schedule.engine.judge_measures import name
from schedule.engine.plan import Plan, PlannedSitting, TroubleKind
from schedule.engine.problem import Panel, Problem

GIVEN_UP = (TroubleKind.SET, TroubleKind.NO_SKILL, TroubleKind.NO_FIT, TroubleKind.AWAY)
EVER = datetime(1, 1, 1, tzinfo=UTC)


@dataclass(frozen=True, slots=True)
class _Wet:
    """A time that nothing may touch a panel: worked from `start`, drying from `laid` to `dry`."""

    panel: Panel
    start: datetime
    laid: datetime
    dry: datetime
    planned: bool


def wet_faults(problem: Problem, plan: Plan) -> Iterator[str]:
    """Return where a plan lays a coat too late, on wet paint, or where the rack has no room.

    A sitting that is running is not judged: it was begun.
    """
    yield from _Judge(problem, plan).faults()


class _Judge:
    def __init__(self, problem: Problem, plan: Plan) -> None:
        self.problem = problem
        self.plan = plan
        self.panels = {panel.key: panel for panel in problem.panels}
        self.by_task: dict[tuple[str, str], list[PlannedSitting]] = defaultdict(list)
        for sitting in sorted(plan.sittings, key=lambda sitting: sitting.start):
            self.by_task[sitting.panel, sitting.task].append(sitting)
        self.running = {
            self.by_task[panel.key, task.key][0]
            for panel in problem.panels
            for task in panel.tasks[:1]
            if task.begun_by and self.by_task[panel.key, task.key]
        }
        self.wet = list(self._wet())

    def _wet(self) -> Iterator[_Wet]:
        now = self.problem.now
        for panel in self.problem.panels:
            until = panel.wet_until or panel.opens
            if until and until > now:
                yield _Wet(panel, EVER, EVER, until, planned=False)
            for task in panel.tasks:
                for sitting in self.by_task[panel.key, task.key]:
                    dry = sitting.end + task.gate.touchable if task.gate else sitting.end
                    planned = sitting not in self.running
                    yield _Wet(panel, sitting.start, sitting.end, dry, planned)

    def faults(self) -> Iterator[str]:
        for panel in self.problem.panels:
            yield from self._spans(panel)
        yield from self._turning()
        if self.problem.rack is not None:
            yield from self._rack(self.problem.rack)

    def _spans(self, panel: Panel) -> Iterator[str]:
        given_up = {
            (trouble.panel, trouble.task)
            for trouble in self.plan.troubles
            if trouble.kind in GIVEN_UP
        }
        unfinished = {
            (trouble.panel, trouble.task)
            for trouble in self.plan.troubles
            if trouble.kind == TroubleKind.BEYOND
        }
        laid, painter = panel.touched, ""
        for task in panel.tasks:
            stints = self.by_task[panel.key, task.key]
            running = bool(stints) and stints[0] in self.running
            if task.within is not None and laid is not None and not running:
                end = stints[-1].end if stints else None
                if end and end > laid + task.within:
                    yield f"{task.key} on {panel.key} ends {end}, over its wait after {laid}."
                if stints and painter and stints[0].person != painter:
                    yield f"{task.key} on {panel.key} is worked into the coat of another's hand."
                told = (panel.key, task.key) in given_up
                if not stints and painter and not told:
                    yield f"{task.key} on {panel.key} is not worked into the coat that is laid."
            laid, painter = (stints[-1].end, stints[0].person) if stints else (None, "")
            if (panel.key, task.key) in unfinished:
                laid, painter = None, ""

    def _turning(self) -> Iterator[str]:
        lies_on = {face.key: face.lies_on for face in self.problem.faces}
        by_face: dict[str, list[_Wet]] = defaultdict(list)
        for wet in self.wet:
            by_face[wet.panel.face].append(wet)
        for sitting in self.plan.sittings:
            panel = self.panels.get(sitting.panel)
            if panel is None or not panel.face or sitting in self.running:
                continue
            for beneath in lies_on[panel.face]:
                for wet in by_face[beneath]:
                    if wet.start < sitting.end and sitting.start < wet.dry:
                        yield f"{name(sitting)} lays {beneath} down before it is dry, {wet.dry}."

    def _rack(self, rack: int) -> Iterator[str]:
        removable = [wet for wet in self.wet if wet.panel.rack and wet.dry > wet.laid]
        for one in removable:
            if not one.planned:
                continue
            beside = {
                other.panel.place for other in removable if other.laid <= one.laid < other.dry
            }
            if len(beside) > rack:
                yield f"{len(beside)} parts are drying at {one.laid}, and the rack holds {rack}."
