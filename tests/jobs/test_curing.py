"""When a panel is as hard as it will become: by its last coat, and by a slower one beneath."""

from datetime import UTC, datetime, timedelta

import pytest

from jobs.domain.curing import curing
from jobs.domain.gates import current_gate
from jobs.domain.workshop import workshop_of
from jobs.models import Panel
from studio.signals import hold_changes
from tests.cast import asked, painted, panel_of, piece_of, surface_of

NOON = datetime(2026, 11, 2, 12, tzinfo=UTC)
DAY = timedelta(days=1)


@pytest.fixture
def surface(anna):
    with hold_changes():
        return surface_of(piece_of(asked(anna.studio, agreed=True)))


def fresh(panel: Panel) -> Panel:
    return Panel.objects.for_bench().get(pk=panel.pk)


def cure(panel: Panel, **more):
    return curing(fresh(panel), workshop_of(panel.owner), **more)


def test_a_varnish_that_waits_for_its_cure_is_cured_when_its_gate_opens(surface, anna):
    panel = panel_of(surface, steps=(("varnish", "acrylic-varnish", 1, "cured"),))
    painted(panel.stages.get(), by=anna, end=NOON)
    found, gate = cure(panel), current_gate(fresh(panel))
    assert (found.last.likely, found.last.surely) == (gate.likely, gate.surely)
    assert not found.planned
    assert found.beneath is None


def test_the_last_look_leaves_no_film_and_hides_no_cure(surface, anna):
    steps = (("varnish", "acrylic-varnish", 1, "cured"), ("cure", "none", 1, "none"))
    panel = panel_of(surface, steps=steps)
    painted(panel.stages.first(), by=anna, end=NOON)
    varnished = cure(panel).last
    painted(panel.stages.last(), by=anna, end=NOON + 30 * DAY)
    assert cure(panel).last == varnished
    assert varnished.since == NOON


def test_a_method_that_waits_less_still_tells_the_cure(surface, anna):
    panel = panel_of(surface, steps=(("details", "oil", 1, "touch-dry"),))
    painted(panel.stages.get(), by=anna, end=NOON)
    assert cure(panel).last.kind == "cured"
    assert cure(panel).last.likely > current_gate(fresh(panel)).surely


def test_oil_under_a_quick_varnish_goes_on_curing(surface, anna):
    steps = (("details", "oil", 1, "touch-dry"), ("varnish", "acrylic-varnish", 1, "cured"))
    panel = panel_of(surface, steps=steps)
    for days, stage in enumerate(panel.stages.all()):
        painted(stage, by=anna, end=NOON + 40 * days * DAY)
    found = cure(panel)
    assert found.last.stage.binder == "acrylic-varnish"
    assert found.beneath.stage.binder == "oil"
    assert found.beneath.likely > found.last.surely


def test_what_is_not_painted_counts_from_the_day_it_is_planned_for(surface, anna):
    panel = panel_of(surface, steps=(("varnish", "acrylic-varnish", 2, "cured"),))
    stage = panel.stages.get()
    assert cure(panel) is None
    painted(stage, by=anna, end=NOON)
    assert cure(panel) is None
    planned = cure(panel, planned={stage.pk: NOON + 5 * DAY})
    assert planned.planned
    assert planned.last.since == NOON + 5 * DAY


def test_a_panel_without_paint_has_no_cure(surface):
    assert cure(panel_of(surface, steps=(("sand", "none", 1, "none"),))) is None
    assert cure(panel_of(surface, "Bare", left=3000, steps=())) is None
