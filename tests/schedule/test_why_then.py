"""What the plan is set against, and why each commission is ready when it is."""

from datetime import timedelta
from itertools import pairwise

import pytest
from django.urls import reverse

from schedule import worker
from schedule.domain import comparison
from schedule.domain.comparison import Comparison, compare, compared, keep_comparison
from schedule.domain.problem import build_problem
from schedule.domain.programme import plan_studio, planned_sittings
from schedule.domain.reasons import reasons_for
from schedule.engine.baselines import baselines
from schedule.engine.bounds import bound
from schedule.engine.objective import LATE, Score
from schedule.models import PlannedFinish, Programme, Reminder
from schedule.worker import work_once
from studio.signals import hold_changes
from tests.cast import agreed_panel, asked, painted, panel_of, piece_of, surface_of

QUARTER = timedelta(minutes=15)


@pytest.fixture
def panels(anna, clock):
    """Two commissions of two panels each."""
    with hold_changes():
        made = []
        for title in ("Chest", "Cupboard"):
            surface = surface_of(piece_of(asked(anna.studio, title, agreed=True)))
            made += [panel_of(surface, f"{title} {n}", left=2000 * n) for n in range(2)]
    return made


class TestComparison:
    def test_it_sets_the_plan_against_the_same_work_unwoven(self, panels, anna, clock):
        programme = Programme.objects.get()
        found = compare(programme)
        last = max(PlannedFinish.objects.values_list("finish", flat=True))
        assert found.woven == (last.date() - clock.now.date()).days
        unwoven = baselines(build_problem(anna.studio, now=clock.now).problem).one_panel
        ends = max(row.finish for row in unwoven.finishes)
        assert found.one_panel == (ends.date() - clock.now.date()).days > found.woven
        assert found.one_panel >= found.one_commission >= found.woven
        assert 0 <= found.better < found.woven
        assert found.sooner
        assert found.panels == 4

    def test_it_is_kept_for_this_very_plan_by_the_worker(self, panels, anna, clock):
        assert compared(Programme.objects.get()) is None
        work_once()
        kept = compared(Programme.objects.get())
        assert kept == compare(Programme.objects.get())
        clock.now += QUARTER
        assert compared(plan_studio(anna.studio, now=clock.now)) is None

    def test_one_that_breaks_keeps_neither_weaving_nor_a_reminder_back(
        self, panels, anna, clock, monkeypatch, settings, mailoutbox
    ):
        painted(panels[0].stages.first(), by=anna, end=clock.now)
        settings.WEAVING = True
        begun = []
        monkeypatch.setattr(worker, "begin", lambda studio, now: begun.append(studio))
        monkeypatch.setattr(comparison, "baselines", lambda problem: begun.append(*mailoutbox))
        clock.now = Reminder.objects.get().goes_out
        assert work_once() == 1
        assert begun == [anna.studio, mailoutbox[0]], "woven, told, and only then compared"

    def test_a_plan_made_meanwhile_is_not_told_by_the_figures_of_the_old_one(
        self, panels, anna, clock
    ):
        old = Programme.objects.get()
        clock.now += QUARTER
        plan_studio(anna.studio, now=clock.now)
        keep_comparison(old)
        assert compared(Programme.objects.get()) is None

    def test_a_page_that_comes_first_reckons_it(self, panels, at_desk):
        page = at_desk.get(reverse("programme")).content.decode()
        assert reverse("programme-compared") in page
        said = at_desk.get(reverse("programme-compared"), headers={"HX-Request": "true"})
        assert "instead of" in said.content.decode()
        assert "<html" not in said.content.decode()
        assert "<html" in at_desk.get(reverse("programme-compared")).content.decode()

    def test_one_panel_alone_has_nothing_to_be_woven_with(self, anna, clock, at_desk):
        agreed_panel(anna.studio)
        assert not compare(Programme.objects.get()).sooner
        page = at_desk.get(reverse("programme-compared")).content.decode()
        assert "nothing to weave it with" in page

    def test_work_without_a_last_day_is_compared_with_nothing(self, panels, anna, clock, at_desk):
        anna.studio.windows.all().delete()
        plan_studio(anna.studio, now=clock.now)
        found = compare(Programme.objects.get())
        assert found == Comparison(None, None, None, None, None, None, 4)
        assert "nothing to compare" in at_desk.get(reverse("programme-compared")).content.decode()

    def test_days_that_could_be_won_in_all_are_those_of_the_clock(self, panels, anna, clock):
        programme = Programme.objects.get()
        least = bound(build_problem(anna.studio, now=clock.now).problem)
        programme.cost["completion"] = least.cost / 60 + 47
        assert compare(programme).better_in_all == 1
        programme.cost["completion"] += 1
        assert compare(programme).better_in_all == 2

    def test_no_bound_is_told_in_all_where_something_is_late(self, panels, anna, clock):
        commission = panels[0].commission
        commission.wanted = clock.now.date()
        commission.save()
        programme = plan_studio(anna.studio, now=clock.now)
        assert compare(programme).better_in_all is None

    def test_what_could_be_won_where_something_is_late_is_the_cost_over_the_bound(
        self, panels, anna, clock
    ):
        for panel in panels:
            panel.commission.wanted = clock.now.date()
            panel.commission.save()
        programme = plan_studio(anna.studio, now=clock.now)
        found = compare(programme)
        problem = build_problem(anna.studio, now=clock.now).problem
        least = bound(problem).cost / 60
        cost = Score(**programme.cost)
        told = LATE * cost.late + cost.completion
        assert found.lateness + found.finishes == pytest.approx(told - least)
        assert found.could_win == int(100 * (told - least) / told)

    @pytest.mark.parametrize(
        ("hours", "says"),
        [
            ((9, 1), "by more than 10 %, counted over all commissions; most of that is lateness."),
            ((1, 9), "by more than 10 %, counted over all commissions; most of that is earlier"),
            ((-5, 5), "by one in a hundred"),
        ],
    )
    def test_what_could_be_won_is_told_with_its_greater_part(self, hours, says, panels, at_desk):
        late = Comparison(9, 9, 9, 9, 0, None, 2, *hours, least=90)
        programme = Programme.objects.get()
        programme.compared = {"of": programme.made_at.isoformat(), **vars(late)}
        programme.save()
        path = reverse("programme")
        assert f"No plan could be better {says}" in at_desk.get(path).content.decode()
        programme.compared["better_in_all"] = 3
        programme.save()
        assert "No plan could be better" not in at_desk.get(path).content.decode()


class TestWhyThen:
    def test_the_chain_leads_without_a_gap_of_a_day_from_now_to_the_finish(
        self, panels, anna, clock
    ):
        commission = panels[0].commission
        chain = reasons_for(commission, Programme.objects.get())
        finish = PlannedFinish.objects.get(commission=commission).finish
        assert chain[-1].until - finish < QUARTER
        assert chain[0].since <= clock.now + QUARTER
        for one, other in pairwise(chain):
            assert timedelta(0) <= other.since - one.until < timedelta(hours=16)
        starts = {row.start for row in planned_sittings(anna.studio)}
        assert {one.since for one in chain if one.cause == "sitting"} <= starts

    def test_it_is_told_in_plain_sentences(self, panels, anna, clock, at_desk):
        commission = panels[0].commission
        said = " / ".join(one.words for one in reasons_for(commission, Programme.objects.get()))
        assert "First oil on Lid: " in said
        assert "it dries until it is touch-dry" in said
        page = at_desk.get(reverse("programme-why", args=[commission.number])).content.decode()
        assert "It dries until it is touch-dry." in page
        part = at_desk.get(
            reverse("programme-why", args=[commission.number]), headers={"HX-Request": "true"}
        )
        assert "<html" not in part.content.decode()

    def test_a_coat_drying_now_begins_the_chain_by_its_name(self, anna, clock):
        panel = agreed_panel(anna.studio)
        painted(panel.stages.first(), by=anna, end=clock.now)
        first = reasons_for(panel.commission, Programme.objects.get())[0]
        assert first.words == "Prime, coat 1 of 2 on Lid: Plait dries until it is ready to recoat"

    def test_what_is_all_painted_is_told_by_what_dries(self, anna, clock, at_desk):
        panel = agreed_panel(anna.studio, steps=(("prime", "gesso", 1, "through-dry"),))
        painted(panel.stages.get(), by=anna, end=clock.now)
        (only,) = reasons_for(panel.commission, Programme.objects.get())
        assert only.words == "Prime on Lid: Plait dries until it is dry all through"
        page = at_desk.get(reverse("programme-why", args=[panel.commission.number]))
        assert "Not all of it can be planned" not in page.content.decode()

    def test_where_not_all_is_planned_no_day_is_explained(self, panels, anna, clock, at_desk):
        anna.studio.windows.all().delete()
        plan_studio(anna.studio, now=clock.now)
        commission = panels[0].commission
        assert reasons_for(commission, Programme.objects.get()) == []
        page = at_desk.get(reverse("programme-why", args=[commission.number])).content.decode()
        assert "Not all of it can be planned" in page
        assert "Why then?" not in at_desk.get(reverse("programme")).content.decode()
