"""Who is counted on at the bench: those who paint, and whoever sits at a panel now."""

from datetime import timedelta

import pytest
from django.urls import reverse

from jobs.domain.work import start_sitting
from jobs.models import Panel
from schedule.domain.programme import plan_studio, planned_sittings
from studio.models import Person
from tests.cast import agreed_panel

HOUR = timedelta(hours=1)


@pytest.fixture
def panel(clock, anna) -> Panel:
    agreed_panel(anna.studio, "Finch")
    return agreed_panel(anna.studio)


def at_the_bench(anna, clock) -> set[str]:
    """Return who sits at the bench in the programme."""
    plan_studio(anna.studio, now=clock.now)
    return {row.person.name for row in planned_sittings(anna.studio)}


def test_two_who_paint_are_both_counted_on(panel, anna, berit, clock):
    assert at_the_bench(anna, clock) == {"Anna", "Berit"}


def test_each_sitting_names_who_sits_it_where_two_paint(panel, anna, berit, at_desk, clock):
    plan_studio(anna.studio, now=clock.now)
    page = at_desk.get(reverse("programme")).content.decode()
    for row in planned_sittings(anna.studio):
        assert f"<td>{row.person.name}</td>" in page
    Person.objects.filter(pk=berit.pk).update(paints=False)
    plan_studio(anna.studio, now=clock.now)
    assert "<td>Anna</td>" not in at_desk.get(reverse("programme")).content.decode()


def test_who_does_not_paint_is_not_counted_on(panel, anna, berit, clock):
    Person.objects.filter(pk=berit.pk).update(paints=False)
    assert at_the_bench(anna, clock) == {"Anna"}


def test_a_helper_who_may_not_sign_in_is_counted_on(panel, anna, berit, clock):
    Person.objects.filter(pk=berit.pk).update(is_active=False, email=None)
    assert at_the_bench(anna, clock) == {"Anna", "Berit"}


def test_who_sits_at_a_panel_now_is_counted_on_to_end_her_coat(panel, anna, berit, clock):
    stage = panel.stages.first()
    stage.minutes = 120
    stage.save()
    start_sitting(stage, person=berit, at=clock.now)
    clock.now += HOUR / 2
    Person.objects.filter(pk=berit.pk).update(paints=False)
    assert "Berit" in at_the_bench(anna, clock)
    first, *_ = planned_sittings(anna.studio).filter(stage=stage, coat=1)
    assert (first.person.name, first.start) == ("Berit", clock.now)
