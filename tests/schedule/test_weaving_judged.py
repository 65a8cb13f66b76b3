"""What the long search stores is judged at the end, whichever plan that is; and who lost stops."""

from datetime import date
from types import SimpleNamespace

import pytest

from schedule.domain import weaving as at_loom
from schedule.domain.programme import planned_sittings
from schedule.domain.weaving import FAULTY, QUIET, claim, steps_for, wants_weaving, weave
from schedule.models import Programme, Weaving
from schedule.models.weaving import SILENCE
from studio.domain.records import keep_record
from studio.models import DayOff
from studio.signals import hold_changes
from tests.cast import asked, panel_of, piece_of, surface_of


@pytest.fixture
def studio(anna, clock, settings):
    """A studio of four panels, planned once."""
    settings.WEAVING, settings.WEAVE_STEPS = True, 20
    with hold_changes():
        for title in ("Chest", "Cupboard"):
            surface = surface_of(piece_of(asked(anna.studio, title, agreed=True)))
            for number in range(2):
                panel_of(surface, f"{title} {number}", left=2000 * number)
    return anna.studio


def rows(studio) -> list[tuple]:
    return [(row.stage_id, row.coat, row.part, row.start) for row in planned_sittings(studio)]


@pytest.fixture
def calm_plans(monkeypatch) -> list:
    """The plans made calmly: the one it began from, then those made at the end."""
    made, real = [], at_loom.calm_plan

    def calm_plan(problem, old):
        made.append(real(problem, old))
        return made[-1]

    monkeypatch.setattr(at_loom, "calm_plan", calm_plan)
    return made


def searching(monkeypatch, act) -> list:
    """Have `act` happen as the search begins; return what it answers."""
    answers, real = [], at_loom.search

    def search(problem, **given):
        act()
        answers.append(real(problem, **given))
        return answers[-1]

    monkeypatch.setattr(at_loom, "search", search)
    return answers


@pytest.mark.parametrize(
    "changed",
    [
        pytest.param(True, id="the plan made anew from the order that was found"),
        pytest.param(False, id="the plan any change leads to"),
    ],
)
def test_a_fault_of_the_plan_to_be_stored_is_found_by_the_judge(
    changed, studio, clock, monkeypatch, calm_plans, settings
):
    settings.WEAVE_STEPS = 1
    off = DayOff(studio=studio, first=date(2026, 11, 3), last=date(2026, 11, 6))
    searching(monkeypatch, lambda: changed and keep_record(off))

    def second_is_faulty(problem, plan):
        return ["two at once"] if calm_plans[1:] and plan is calm_plans[1] else []

    monkeypatch.setattr(at_loom, "faults", second_is_faulty)
    held, _ = claim(studio, now=clock.now)
    weave(studio, claim=held.claim, clock=lambda: clock.now)
    failed = Weaving.objects.get()
    assert (failed.state, failed.words) == (Weaving.State.FAILED, FAULTY)
    assert Programme.objects.get().woven == ""


def test_a_process_that_another_took_over_from_searches_no_further(
    studio, clock, monkeypatch, settings
):
    settings.WEAVE_STEPS = 5000

    def dies_and_is_begun_anew() -> None:
        clock.now += SILENCE
        assert claim(studio, now=clock.now)[1]

    answers = searching(monkeypatch, dies_and_is_begun_anew)
    held, _ = claim(studio, now=clock.now)
    weave(studio, claim=held.claim, clock=lambda: clock.now)
    assert answers[0].cut_short
    assert answers[0].steps < 5000


def test_a_plan_that_was_never_made_is_not_woven(studio, clock):
    programme = Programme.objects.get()
    assert wants_weaving(programme, now=clock.now + QUIET)
    programme.cost = {}
    assert not wants_weaving(programme, now=clock.now + QUIET)


@pytest.mark.parametrize(
    ("coats", "steps"), [(0, 20_000), (1, 20_000), (125, 20_000), (500, 5_000), (9_000, 1_000)]
)
def test_the_more_coats_there_are_the_fewer_plans_are_made_between_two_bounds(
    coats, steps, settings
):
    settings.WEAVE_STEPS = 0
    panels = [SimpleNamespace(tasks=[None] * coats)]
    assert steps_for(SimpleNamespace(problem=SimpleNamespace(panels=panels))) == steps
