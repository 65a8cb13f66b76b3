"""From the record to what is uncertain about it, and what a finish hangs on in words."""

from datetime import timedelta

from jobs.domain.gates import Opening, gate_drying
from jobs.domain.workshop import Workshop
from jobs.models import TouchTest
from jobs.paint.drying import Drying
from schedule.domain.problem import StudioProblem
from schedule.engine.problem import LONGEST_WAIT
from schedule.engine.promise.doubt import Doubt, Wait
from schedule.engine.promise.doubt import Drying as RunningWait
from schedule.engine.promise.outlook import Driver, DriverKind


def doubt_of(asked: StudioProblem) -> Doubt:
    """Return how uncertain each wait of a problem is: those to come, and those that run.

    What a finger found dry is certain. The spread of hours is the engine's own.
    """
    of_gates = {}
    for panel in asked.problem.panels:
        for task in panel.tasks:
            if task.gate:
                stage, coat = asked.stage_and_coat(task.key)
                of_gates[panel.key, task.key] = _wait(gate_drying(stage, coat, asked.workshop))
    of_panels = {
        str(gate.stage.panel_id): _running(gate, asked.workshop)
        for gate in asked.gates
        if not _found_dry(gate)
    }
    return Doubt(of_gates=of_gates, of_panels=of_panels)


def _wait(drying: Drying) -> Wait:
    return Wait(min(drying.median, LONGEST_WAIT), drying.sigma, min(drying.least, LONGEST_WAIT))


def _found_dry(gate: Opening) -> bool:
    return gate.moved_by is not None and gate.moved_by.result == TouchTest.Result.DRY


def _running(gate: Opening, workshop: Workshop) -> RunningWait:
    lain = workshop.ageing(gate.stage, gate.kind, since=gate.since)
    found_wet = lain.age(gate.moved_by.at) if gate.moved_by else timedelta(0)
    wait = _wait(gate_drying(gate.stage, gate.coat, workshop))
    return RunningWait(wait, lain.as_if_since, max(found_wet, timedelta(0)))


def told(driver: Driver, asked: StudioProblem) -> str:
    """Return what a finish hangs on, in words that follow 'It hangs most on …'."""
    if driver.kind == DriverKind.PACE:
        return "how quickly you work"
    if driver.kind == DriverKind.AIR:
        return "how well paint dries in your room"
    panel = asked.panels[driver.panel]
    if not driver.task:
        return f"the drying of the last coat on {panel.title}"
    stage, coat = asked.stage_and_coat(driver.task)
    what = "the hours of" if driver.kind == DriverKind.HOURS else "the drying of"
    return f"{what} {stage.coat_name(coat)} on {panel.title}"
