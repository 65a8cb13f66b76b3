"""A room made warmer or colder counts from then on: what has dried so far keeps its pace."""

from datetime import UTC, datetime, timedelta

import pytest

from jobs.domain.gates import current_gate, gate_wait
from jobs.domain.work import record_touch_test
from jobs.domain.workshop import coat_tests, workshop_of
from jobs.models import Panel, Stage
from studio.domain.room import keep_studio
from studio.models import Studio
from studio.signals import hold_changes
from tests.cast import asked, painted, panel_of, piece_of, surface_of

NOON = datetime(2026, 11, 2, 12, tzinfo=UTC)
HOUR = timedelta(hours=1)


@pytest.fixture
def panel(anna) -> Panel:
    """A panel with an oil coat finished at noon."""
    with hold_changes():
        surface = surface_of(piece_of(asked(anna.studio, agreed=True)))
        panel = panel_of(surface, steps=(("first-oil", "oil", 1, "touch-dry"),))
        painted(panel.stages.get(), by=anna, end=NOON)
    return panel


def gate(panel: Panel):
    return current_gate(Panel.objects.for_bench().get(pk=panel.pk))


def room(studio: Studio, degrees: int, *, after: timedelta) -> None:
    fresh = Studio.objects.get(pk=studio.pk)
    fresh.room_temperature = degrees
    with hold_changes():
        keep_studio(fresh, now=NOON + after)


def wait_of(panel: Panel) -> timedelta:
    stage = Panel.objects.for_bench().get(pk=panel.pk).stages.all()[0]
    return gate_wait(stage, 1, workshop_of(Studio.objects.get()))


def seconds(stretch: timedelta) -> float:
    return stretch.total_seconds()


@pytest.mark.parametrize("degrees", [8, 26])
def test_the_rest_of_a_wait_is_the_same_share_of_the_new_one(panel, anna, degrees):
    old = wait_of(panel)
    room(anna.studio, degrees, after=old / 4)
    new = wait_of(panel)
    assert seconds(gate(panel).opens - NOON) == pytest.approx(seconds(old / 4 + new * 3 / 4), abs=1)


def test_no_warmth_makes_a_coat_dry_before_the_warmth_came(panel, anna):
    old = gate(panel)
    late = old.likely - NOON - timedelta(minutes=1)
    room(anna.studio, 40, after=late)
    assert NOON + late < gate(panel).likely <= old.likely


def test_a_coat_that_was_dry_stays_dry_since_the_same_hour(panel, anna):
    old = gate(panel)
    room(anna.studio, 5, after=old.surely - NOON + HOUR)
    new = gate(panel)
    for name in ("likely", "opens", "surely"):
        assert seconds(getattr(new, name) - getattr(old, name)) == pytest.approx(0, abs=1)


def test_a_slip_put_right_at_once_moves_nothing(panel, anna):
    old = gate(panel).opens
    room(anna.studio, 40, after=9 * HOUR)
    room(anna.studio, 19, after=9 * HOUR)
    assert seconds(gate(panel).opens - old) == pytest.approx(0, abs=1)


def test_a_coat_laid_after_the_change_dries_as_the_new_room_has_it(panel, anna):
    room(anna.studio, 26, after=-HOUR)
    assert gate(panel).opens == NOON + wait_of(panel)


def test_a_finger_found_it_wet_in_the_old_room(panel, anna):
    stage = panel.stages.get()
    with hold_changes():
        record_touch_test(stage, coat=1, result="tacky", by=anna, at=NOON + 10 * HOUR)
    old = gate(panel)
    room(anna.studio, 26, after=11 * HOUR)
    assert NOON + 11 * HOUR < gate(panel).opens < old.opens


def test_a_test_after_the_change_teaches_by_the_hours_of_both_rooms(panel, anna):
    usual = workshop_of(anna.studio).foretold(panel.stages.get())
    room(anna.studio, 26, after=usual / 2)
    shop = workshop_of(Studio.objects.get())
    dry = usual / 2 + shop.foretold(panel.stages.get()) / 2
    with hold_changes():
        record_touch_test(Stage.objects.get(), coat=1, result="touch-dry", by=anna, at=NOON + dry)
    (seen,) = coat_tests(Studio.objects.get())[0].reading.observations
    assert seen.high == pytest.approx(1, abs=0.001)


def test_what_is_not_the_room_leaves_no_trace_in_the_past(anna):
    anna.studio.phone = "1"
    keep_studio(anna.studio, now=NOON)
    assert Studio.objects.get().past_rooms == []
