"""What the plan is set against, and why each commission is ready when it is."""

from datetime import timedelta
from itertools import pairwise

import pytest
from django.template.loader import render_to_string
from django.urls import reverse

from schedule import worker
from schedule.domain import comparison
from schedule.domain.comparison import Comparison, compare, compared, keep_comparison
from schedule.domain.finishes import known_likelihoods
from schedule.domain.problem import build_problem
from schedule.domain.programme import plan_studio, planned_sittings
from schedule.domain.reasons import reasons_for
from schedule.engine.baselines import baselines
from schedule.engine.bounds import bound
from schedule.engine.objective import LATE, Score
from schedule.models import Pin, PlannedFinish, Programme, Reminder
from schedule.worker import work_once
from studio.domain.records import keep_record
from studio.signals import hold_changes
from tests.cast import agreed_panel, asked, painted, panel_of, piece_of, surface_of

QUARTER, DAY = timedelta(minutes=15), timedelta(days=1)


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
        programme = Programme.objects.get()
        assert compared(programme) is None
        assert known_likelihoods(programme), "the one that breaks keeps not even the other back"

    def test_figures_kept_otherwise_than_they_are_read_are_reckoned_again(self, panels, clock):
        work_once()
        programme = Programme.objects.get()
        programme.compared["of old"] = 1
        assert compared(programme) is None

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
        assert found == Comparison(None, None, None, None, None, 4)
        assert "nothing to compare" in at_desk.get(reverse("programme-compared")).content.decode()

    @pytest.mark.parametrize(
        ("figures", "said"),
        [
            (
                (31, 54, 48, 40),
                "54 one panel after another, 48 one commission after another (40",
            ),
            ((31, 54, 54, 31), "instead of 54 one panel after another."),
            ((31, 54, 31, None), "instead of 54 one panel after another."),
        ],
    )
    def test_figures_that_win_nothing_or_say_the_same_are_left_out(self, figures, said):
        page = render_to_string("schedule/compared.html#sentence", {
            "compared": Comparison(*figures, better=1, panels=3)
        })  # fmt: skip
        assert said in page
        assert "At best all could be ready 1 day sooner." in page

    def test_what_could_be_won_is_the_cost_over_the_bound(self, panels, anna, clock):
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
        late = Comparison(9, 9, 9, 9, 0, 2, *hours, least=90)
        programme = Programme.objects.get()
        programme.compared = {"of": programme.made_at.isoformat(), **vars(late)}
        programme.save()
        path = reverse("programme")
        assert f"No plan could be better {says}" in at_desk.get(path).content.decode()


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


class TestWhatIsWaitedFor:
    def first(self, panel) -> str:
        return reasons_for(panel.commission, Programme.objects.get())[0].words

    def test_a_piece_that_arrives_is_named_with_its_day(self, anna, clock):
        panel = agreed_panel(anna.studio)
        piece = panel.surface.piece
        piece.arrives = (clock.now + 10 * DAY).date()
        keep_record(piece)
        assert self.first(panel) == (
            f"Prime, coat 1 of 2 on Lid: Plait waits: {piece.name} arrives on Thu 12 Nov"
        )

    def test_a_colour_to_be_agreed_is_named_with_its_day(self, anna, clock):
        panel = agreed_panel(anna.studio)
        panel.colour_agreed_by = (clock.now + 10 * DAY).date()
        keep_record(panel)
        assert self.first(panel) == (
            "Ground colour on Lid: Plait waits: the colour of Lid: Plait is to be agreed by "
            "Thu 12 Nov"
        )

    def test_paint_on_order_is_named_with_its_day(self, anna, clock):
        panel = agreed_panel(anna.studio)
        binder = panel.stages.first().binder
        supply = anna.studio.supplies.get(binder=binder)
        supply.name, supply.comes = "Gesso {lean}", (clock.now + 10 * DAY).date()
        keep_record(supply)
        assert self.first(panel) == (
            "Prime, coat 1 of 2 on Lid: Plait waits: Gesso {lean} comes on Thu 12 Nov"
        )

    def test_a_sitting_that_she_fixed_says_so(self, anna):
        panel = agreed_panel(anna.studio)
        row = planned_sittings(anna.studio).last()
        at = row.start + 7 * DAY
        pin = Pin(
            studio=anna.studio, stage=row.stage, coat=row.coat, person=anna, start=at,
            end=at + (row.end - row.start),
        )  # fmt: skip
        keep_record(pin)
        said = [one.words for one in reasons_for(panel.commission, Programme.objects.get())]
        assert "First oil on Lid: Plait waits, because you fixed it for then" in said

    def test_a_coat_for_another_is_named_with_its_commission(self, panels, anna):
        said = " / ".join(
            one.words
            for title in ("Chest", "Cupboard")
            for one in reasons_for(
                anna.studio.commissions.get(title=title), Programme.objects.get()
            )
        )
        assert "(for ‘" in said
        assert "which goes first" in said


@pytest.mark.parametrize(
    ("state", "said"),
    [
        ("delivered", "It is handed over: there is no day to come."),
        ("declined", "It was called off, so it is not in the programme."),
        ("enquiry", "It is not accepted yet"),
        ("estimated", "It is not accepted yet"),
    ],
)
def test_work_that_is_not_in_hand_says_what_it_is(state, said, anna, clock, at_desk):
    commission = agreed_panel(anna.studio).commission
    commission.state = state
    keep_record(commission)
    page = at_desk.get(reverse("programme-why", args=[commission.number])).content.decode()
    assert said in page


def test_work_without_panels_says_so(anna, at_desk):
    commission = asked(anna.studio, agreed=True)
    page = at_desk.get(reverse("programme-why", args=[commission.number])).content.decode()
    assert "It has no panels yet" in page
