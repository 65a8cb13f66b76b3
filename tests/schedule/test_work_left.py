"""What is left of a coat, as the planner is asked: minutes, set-ups, hands, faces and the rack."""

from datetime import UTC, date, datetime, timedelta

import pytest

from jobs.domain.work import start_sitting, stop_sitting
from jobs.labour.stages import stage_kind
from jobs.models import Mix, Panel
from schedule.domain.problem import build_problem
from schedule.domain.tasks import longest_sitting
from schedule.engine import problem as engine
from schedule.engine.calendar import Window
from schedule.engine.problem import SLOT, Task
from studio.domain.records import keep_record
from studio.signals import hold_changes
from tests.cast import asked, panel_of, piece_of, surface_of

MINUTE, HOUR = timedelta(minutes=1), timedelta(hours=1)
OIL = (("first-oil", "oil", 1, "touch-dry"),)
WET = (("first-oil", "oil", 1, "none"), ("details", "oil", 1, "touch-dry"))


@pytest.fixture(autouse=True)
def at_nine(clock):
    """Every test begins on Monday, 2 November 2026, at 09:00 in the studio."""


@pytest.fixture
def panel(anna) -> Panel:
    """One panel of oil, of a mix that has a name."""
    with hold_changes():
        made = panel_of(surface_of(piece_of(asked(anna.studio, agreed=True))), steps=OIL)
        mix = keep_record(Mix(studio=anna.studio, name="Gold"))
        made.stages.update(mix=mix)
    return made


def head(panel: Panel, now: datetime) -> Task:
    """Return the first task left of a panel."""
    problem = build_problem(panel.owner, now=now).problem
    return next(one for one in problem.panels if one.key == str(panel.pk)).tasks[0]


def worked(panel: Panel, person, clock, *, stop: bool) -> None:
    begun = start_sitting(panel.stages.first(), person=person, at=clock.now)
    clock.now += 20 * MINUTE
    if stop:
        stop_sitting(begun, at=clock.now, finishes_coat=False)


def test_what_is_worked_in_wet_may_be_worked_to_its_end_in_whole_slots(anna, clock):
    with hold_changes():
        made = panel_of(surface_of(piece_of(asked(anna.studio, agreed=True))), steps=WET)
    minutes = []
    for each in (31, 44, 45):
        made.stages.filter(kind="details").update(minutes=each)
        _, into = build_problem(anna.studio, now=clock.now).problem.panels[0].tasks
        minutes.append(into.within)
    # 31 and 44 minutes are three quarters of an hour at the bench, as 45 are.
    assert len(set(minutes)) == 1
    made.stages.filter(kind="details").update(minutes=46)
    _, into = build_problem(anna.studio, now=clock.now).problem.panels[0].tasks
    assert into.within == minutes[0] + SLOT
    assert into.within > 4 * SLOT + HOUR, "it is open for hours yet"


def test_a_coat_begun_has_no_set_up_to_share_any_more(panel, anna, clock):
    assert head(panel, clock.now).set_up == stage_kind("first-oil").set_up
    worked(panel, anna, clock, stop=True)
    assert head(panel, clock.now).set_up == 0


def test_who_is_at_it_does_it_to_the_end_whatever_she_is_down_for(panel, anna, berit, clock):
    berit.kinds = ["first-oil"]
    anna.kinds = ["prime"]
    for person in (anna, berit):
        keep_record(person)
    assert head(panel, clock.now).skill == "first-oil"
    worked(panel, anna, clock, stop=False)
    task = head(panel, clock.now)
    assert (task.begun_by, task.skill) == (str(anna.pk), "")


def test_work_that_goes_on_waits_for_no_delivery(panel, anna, clock):
    supply = anna.studio.supplies.get(binder="oil")
    supply.comes = date(2026, 11, 9)
    keep_record(supply)
    assert head(panel, clock.now).not_before == datetime(2026, 11, 9, tzinfo=UTC)
    worked(panel, anna, clock, stop=False)
    assert head(panel, clock.now).not_before is None


def test_a_coat_is_wet_for_no_longer_than_any_programme_counts_on(panel, anna, clock, monkeypatch):
    """A cold, damp room can stretch both waits beyond that: here it is minutes."""
    monkeypatch.setattr(engine, "LONGEST_WAIT", 10 * MINUTE)
    with hold_changes():
        panel.surface.removable = True
        keep_record(panel.surface)
        anna.studio.rack = 1
        keep_record(anna.studio)
    gate = head(panel, clock.now).gate
    assert gate.wet == gate.wait == 10 * MINUTE


@pytest.mark.parametrize(
    ("rack", "removable", "told"),
    [(1, True, True), (1, False, False), (None, True, False)],
)
def test_how_long_a_coat_is_wet_is_told_of_what_goes_to_a_rack_that_is_short(
    rack, removable, told, panel, anna, clock
):
    with hold_changes():
        panel.stages.update(gate="through-dry")
        panel.surface.removable = removable
        keep_record(panel.surface)
        anna.studio.rack = rack
        keep_record(anna.studio)
    assert (head(panel, clock.now).gate.wet is not None) == told


def test_the_longest_sitting_leaves_a_slot_for_the_edges_of_the_hours():
    nine = datetime(2026, 11, 2, 9, tzinfo=UTC)
    windows = [Window(nine, nine + HOUR), Window(nine + 5 * HOUR, nine + 8 * HOUR)]
    assert longest_sitting(windows) == 165
    assert longest_sitting([]) == 0


def test_in_hours_too_short_for_a_good_sitting_she_sits_twice_as_long_as_it_takes_to_begin(
    panel, anna, clock
):
    anna.studio.windows.all().delete()
    anna.studio.windows.create(weekday=0, start="09:00", end="10:00")
    stage = panel.stages.get(kind="first-oil")
    (task,) = [
        task
        for one in build_problem(anna.studio, now=clock.now).problem.panels
        for task in one.tasks
        if task.key == f"{stage.pk}:1"
    ]
    assert stage.sort.shortest == 60
    assert task.shortest == 45
