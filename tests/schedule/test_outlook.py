"""What the promise is told of the record: the waits to come, and those that run."""

from datetime import timedelta

import pytest

from jobs.domain.gates import gate_wait
from jobs.domain.work import record_touch_test
from jobs.models import Panel
from schedule.domain.outlook import doubt_of, told
from schedule.domain.problem import StudioProblem, build_problem
from schedule.domain.scratch import as_it_stands, foretell
from schedule.engine.promise.outlook import Driver, DriverKind
from tests.cast import agreed_panel, painted

HOUR = timedelta(hours=1)


@pytest.fixture
def panel(clock, anna) -> Panel:
    return agreed_panel(anna.studio)


def asked(panel: Panel, clock) -> StudioProblem:
    return build_problem(panel.owner, now=clock.now)


def test_a_wait_to_come_is_as_uncertain_as_its_paint(anna, clock):
    steps = (("prime", "gesso", 2, "through-dry"), ("first-oil", "oil", 1, "touch-dry"))
    panel = agreed_panel(anna.studio, steps=steps)
    problem = asked(panel, clock)
    waits = doubt_of(problem).of_gates
    (row,) = problem.problem.panels
    assert waits.keys() == {(row.key, task.key) for task in row.tasks if task.gate}
    for (_, task), wait in waits.items():
        stage, coat = problem.stage_and_coat(task)
        planned = gate_wait(stage, coat, problem.workshop)
        assert wait.median < planned
        kind = next(t.gate.kind for t in row.tasks if t.key == task)
        law = problem.workshop.wait(stage, kind)
        assert (wait.median, wait.sigma, wait.least) == (law.median, law.sigma, law.least)
        assert law.at(0.8) == planned
    assert any(wait.least for wait in waits.values())


def test_a_coat_that_dries_counts_from_its_end_and_from_when_it_was_found_wet(panel, anna, clock):
    stage = panel.stages.first()
    end = clock.now
    painted(stage, by=anna, end=end)
    clock.now += HOUR / 4
    (running,) = doubt_of(asked(panel, clock)).of_panels.values()
    assert (running.since, running.found_wet) == (end, timedelta(0))
    record_touch_test(stage, coat=1, result="tacky", by=anna, at=clock.now)
    (running,) = doubt_of(asked(panel, clock)).of_panels.values()
    assert (running.since, running.found_wet) == (end, HOUR / 4)


def test_a_coat_found_wet_puts_the_likely_day_off(panel, anna, clock):
    stage = panel.stages.first()
    painted(stage, by=anna, end=clock.now)

    def fairly():
        foretold = foretell(as_it_stands(panel.owner, now=clock.now))
        return foretold.outlooks[panel.commission.pk].fairly

    clock.now += 3 * HOUR
    before = fairly()
    record_touch_test(stage, coat=1, result="wet", by=anna, at=clock.now)
    assert fairly() > before


def test_what_a_day_hangs_on_is_told_in_a_painters_words(panel, clock):
    problem = asked(panel, clock)
    (row,) = problem.problem.panels
    stage, coat = problem.stage_and_coat(row.tasks[0].key)
    name, title = stage.coat_name(coat), problem.panels[row.key].title
    for kind, task, words in (
        (DriverKind.HOURS, row.tasks[0].key, f"the hours of {name} on {title}"),
        (DriverKind.WAIT, row.tasks[0].key, f"the drying of {name} on {title}"),
        (DriverKind.WAIT, "", f"the drying of the last coat on {title}"),
    ):
        assert told(Driver(kind, 0.5, row.key, task), problem) == words
    assert told(Driver(DriverKind.PACE, 0.5), problem) == "how quickly you work"
    assert told(Driver(DriverKind.AIR, 0.5), problem) == "how well paint dries in your room"


def test_a_coat_found_dry_is_no_more_in_doubt(panel, anna, clock):
    stage = panel.stages.first()
    painted(stage, by=anna, end=clock.now)
    clock.now += HOUR / 2
    record_touch_test(stage, coat=1, result="touch-dry", by=anna, at=clock.now)
    problem = asked(panel, clock)
    assert problem.gates[0].by_touch
    assert doubt_of(problem).of_panels == {}
