"""When the next coat may go on: gates from the log, held and opened by touch tests."""

from datetime import UTC, datetime, timedelta
from math import exp

import pytest
from django.urls import reverse

from jobs.domain.gates import current_gate, gate_wait, next_stage
from jobs.domain.mixes import keep_mix
from jobs.domain.work import record_touch_test
from jobs.domain.workshop import climate, workshop_of
from jobs.models import Mix, MixPart, Panel, Stage
from jobs.paint.drying import drying
from studio.domain.records import keep_record
from studio.models import Studio
from studio.signals import hold_changes
from tests.cast import asked, painted, panel_of, piece_of, surface_of

NOON = datetime(2026, 11, 2, 12, tzinfo=UTC)
HOUR = timedelta(hours=1)


@pytest.fixture
def surface(anna):
    with hold_changes():
        return surface_of(piece_of(asked(anna.studio, agreed=True)))


def fresh(panel: Panel) -> Panel:
    return Panel.objects.for_bench().get(pk=panel.pk)


def oil_panel(surface, gate: str, *, person, coats: int = 1, binder: str = "oil") -> Panel:
    """Return a panel with a coat of one stage finished at noon, its gate as given."""
    panel = panel_of(surface, steps=(("first-oil", binder, coats, gate),))
    painted(panel.stages.get(), by=person, end=NOON)
    return panel


def touch(panel: Panel, result: str, after: timedelta, *, person) -> None:
    stage = panel.stages.get()
    record_touch_test(stage, coat=stage.coats_done, result=result, by=person, at=NOON + after)


def test_a_panel_not_begun_waits_for_nothing(surface):
    panel = panel_of(surface)
    assert current_gate(fresh(panel)) is None
    assert next_stage(fresh(panel)) == panel.stages.first()


def test_a_stage_with_no_gate_leaves_no_wait(surface, anna):
    assert current_gate(fresh(oil_panel(surface, "none", person=anna))) is None


def test_between_coats_of_a_stage_the_gate_is_recoat(surface, anna):
    panel = oil_panel(surface, "cured", person=anna, coats=2)
    assert current_gate(fresh(panel)).kind == "recoat"
    painted(panel.stages.get(), by=anna, end=NOON + timedelta(days=30))
    gate = current_gate(fresh(panel))
    assert (gate.kind, gate.coat, gate.since) == ("cured", 2, NOON + timedelta(days=30))


def test_the_gate_opens_after_the_engines_wait_for_that_paint_and_room(surface, anna):
    panel = oil_panel(surface, "touch-dry", person=anna)
    gate = current_gate(fresh(panel))
    wait = drying("oil", "touch-dry", climate(anna.studio))
    assert gate.likely == NOON + wait.at(0.5)
    assert gate.surely == NOON + wait.at(0.95)
    assert gate.likely <= gate.opens <= gate.surely
    assert not gate.open_at(gate.opens - timedelta(seconds=1))
    assert gate.open_at(gate.opens)


def test_a_gate_is_counted_on_when_four_coats_in_five_are_dry(surface, anna):
    gate = current_gate(fresh(oil_panel(surface, "touch-dry", person=anna)))
    wait = drying("oil", "touch-dry", climate(anna.studio))
    # NIST/SEMATECH e-Handbook, table of the standard normal: 80 % lie below z = 0.8416.
    counted_on = wait.median * exp(0.8416 * wait.sigma)
    assert (gate.opens - NOON) / counted_on == pytest.approx(1, abs=0.001)


def test_a_colder_room_opens_the_gate_later(surface, anna):
    panel = oil_panel(surface, "touch-dry", person=anna)
    usual = current_gate(fresh(panel)).opens
    Studio.objects.filter(pk=anna.studio.pk).update(room_temperature=10)
    assert current_gate(fresh(panel)).opens > usual


def test_a_slow_pigment_in_the_mix_opens_the_gate_later(surface, anna):
    panel = oil_panel(surface, "touch-dry", person=anna)
    usual = current_gate(fresh(panel)).opens
    black = keep_record(Mix(studio=anna.studio, name="Black", colour="#111111"))
    MixPart.objects.create(mix=black, pigment="PBk9", parts=1)
    panel.stages.update(mix=black)
    assert current_gate(fresh(panel)).opens > usual


@pytest.mark.parametrize("result", ["wet", "tacky"])
@pytest.mark.parametrize("gate", ["touch-dry", "recoat", "through-dry", "cured"])
def test_a_coat_found_tacky_moves_its_gate_later(gate, result, surface, anna):
    panel = oil_panel(surface, gate, person=anna)
    before = current_gate(fresh(panel))
    after = (before.opens - NOON) * 1.5
    touch(panel, result, after, person=anna)
    held = current_gate(fresh(panel))
    assert held.opens > max(before.opens, NOON + after)
    assert held.likely <= held.opens <= held.surely


@pytest.mark.parametrize("gate", ["touch-dry", "recoat"])
def test_a_coat_found_dry_opens_what_a_finger_can_judge_at_once(gate, surface, anna):
    panel = oil_panel(surface, gate, person=anna)
    touch(panel, "touch-dry", HOUR, person=anna)
    opened = current_gate(fresh(panel))
    assert opened.likely == opened.opens == opened.surely == NOON + HOUR
    assert opened.open_at(NOON + HOUR)


def test_a_varnish_found_dry_is_not_recoated_before_its_usual_wait(surface, anna):
    panel = oil_panel(surface, "recoat", person=anna, binder="resin-varnish")
    touch(panel, "touch-dry", HOUR, person=anna)
    usual = drying("resin-varnish", "recoat", climate(panel.owner)).likely
    assert current_gate(fresh(panel)).opens == NOON + usual > NOON + HOUR


@pytest.mark.parametrize("gate", ["through-dry", "cured"])
def test_a_dry_surface_says_nothing_of_the_depth(gate, surface, anna):
    panel = oil_panel(surface, gate, person=anna)
    before = current_gate(fresh(panel))
    touch(panel, "touch-dry", HOUR, person=anna)
    after = current_gate(fresh(panel))
    assert (after.likely, after.opens, after.surely) == (
        before.likely,
        before.opens,
        before.surely,
    )


@pytest.mark.parametrize(
    ("gate", "binder"),
    [("touch-dry", "oil"), ("recoat", "resin-varnish"), ("through-dry", "oil")],
)
def test_a_coat_dry_all_through_opens_every_gate_short_of_the_cure(gate, binder, surface, anna):
    panel = oil_panel(surface, gate, person=anna, binder=binder)
    touch(panel, "through-dry", HOUR, person=anna)
    opened = current_gate(fresh(panel))
    assert opened.likely == opened.opens == opened.surely == NOON + HOUR
    assert opened.by_touch


def test_dry_all_through_says_nothing_of_the_cure(surface, anna):
    panel = oil_panel(surface, "cured", person=anna)
    before = current_gate(fresh(panel)).opens
    touch(panel, "through-dry", HOUR, person=anna)
    assert current_gate(fresh(panel)).opens == before


def test_a_light_touch_afterwards_takes_no_depth_back(surface, anna):
    panel = oil_panel(surface, "through-dry", person=anna)
    touch(panel, "through-dry", HOUR, person=anna)
    touch(panel, "touch-dry", 2 * HOUR, person=anna)
    assert current_gate(fresh(panel)).opens == NOON + HOUR


def test_dry_all_through_is_offered_where_it_is_waited_for(surface, anna, at_desk, clock):
    clock.now = NOON + HOUR
    panel = oil_panel(surface, "through-dry", person=anna)
    for gate, offered in (("touch-dry", False), ("through-dry", True)):
        panel.stages.update(gate=gate)
        for path in (reverse("panel", args=[panel.pk]), reverse("bench")):
            assert ('value="through-dry"' in at_desk.get(path).content.decode()) is offered, path
    data = {"coat": 1, "result": "through-dry"}
    at_desk.post(reverse("touch-test", args=[panel.stages.get().pk]), data)
    assert current_gate(fresh(panel)).open_at(clock.now)


def test_tacky_first_and_dry_later_opens_it_at_the_later_test(surface, anna):
    panel = oil_panel(surface, "touch-dry", person=anna)
    touch(panel, "tacky", HOUR, person=anna)
    touch(panel, "touch-dry", 3 * HOUR, person=anna)
    assert current_gate(fresh(panel)).opens == NOON + 3 * HOUR


def test_a_touch_test_of_an_earlier_coat_holds_no_later_one(surface, anna):
    panel = oil_panel(surface, "touch-dry", person=anna, coats=2)
    touch(panel, "touch-dry", HOUR, person=anna)
    end = NOON + timedelta(days=3)
    painted(panel.stages.get(), by=anna, end=end)
    gate = current_gate(fresh(panel))
    assert gate.test is None
    assert gate.opens > end


def test_the_longer_it_stays_tacky_the_later_it_is_counted_on(surface, anna):
    panel = oil_panel(surface, "through-dry", person=anna)
    counted_on = [current_gate(fresh(panel)).opens]
    for hours in (1, 2, 10, 50, 51, 200, 900, 4000):
        touch(panel, "tacky", hours * HOUR, person=anna)
        counted_on.append(current_gate(fresh(panel)).opens)
        assert counted_on[-1] > NOON + hours * HOUR
    assert counted_on == sorted(counted_on)


@pytest.mark.parametrize("pigment", ["", "PBk9"])
def test_the_programme_waits_as_long_as_the_bench_will(pigment, surface, anna):
    panel = oil_panel(surface, "touch-dry", person=anna)
    if pigment:
        mix = Mix(studio=anna.studio, name="Black", colour="#111111")
        panel.stages.update(mix=keep_mix(mix, parts={pigment: 1}))
    stage = Stage.objects.get(panel=panel)
    planned = NOON + gate_wait(stage, 1, workshop_of(anna.studio))
    assert planned == current_gate(fresh(panel)).opens
