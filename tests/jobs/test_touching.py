"""A finger held to paint: when it may be, what is odd about it, and what it holds in place."""

from datetime import UTC, datetime, timedelta

import pytest
from django.urls import reverse
from django.utils import timezone

from jobs.domain.work import (
    keep_sitting,
    record_touch_test,
    remove_sitting,
    start_sitting,
    stop_sitting,
    touch_told,
)
from jobs.models import Panel, Sitting, Stage, TouchTest
from studio.domain.records import keep_record
from studio.refusal import Refused
from tests.cast import STEPS, job, painted

NINE = datetime(2026, 11, 2, 9, tzinfo=UTC)
HOUR = timedelta(hours=1)
LONG_AFTER = NINE + timedelta(days=14)


@pytest.fixture
def panel(anna) -> Panel:
    return job(anna.studio)


@pytest.fixture
def gesso(panel):
    return panel.stages.first()


@pytest.fixture
def coat(gesso, anna) -> Stage:
    """A coat of gesso, finished at nine."""
    painted(gesso, by=anna, end=NINE)
    return gesso


def local(moment: datetime) -> str:
    return timezone.localtime(moment).strftime("%Y-%m-%dT%H:%M")


class TestTouching:
    def touch(self, stage, anna, result, after, coat=1) -> TouchTest:
        return record_touch_test(stage, coat=coat, result=result, by=anna, at=NINE + after)

    @pytest.mark.parametrize("coat_number", [0, 2, 10**9, -1])
    def test_there_is_nothing_to_touch_before_the_coat_is_painted(self, coat_number, coat, anna):
        with pytest.raises(Refused, match="not painted yet"):
            self.touch(coat, anna, "wet", HOUR, coat=coat_number)

    def test_no_touch_comes_before_the_coat_was_finished(self, coat, anna):
        with pytest.raises(Refused) as refused:
            self.touch(coat, anna, "wet", -timedelta(minutes=1))
        assert refused.value.field == "at"

    def test_a_coat_that_another_lies_on_cannot_be_touched_any_more(self, coat, anna):
        painted(coat, by=anna, end=NINE + 24 * HOUR)
        with pytest.raises(Refused, match="‘Prime’ lay over that coat by then") as refused:
            self.touch(coat, anna, "touch-dry", 25 * HOUR)
        assert refused.value.field == "coat"
        assert not TouchTest.objects.exists()
        assert self.touch(coat, anna, "touch-dry", HOUR), "typed afterwards, with its own time"
        assert self.touch(coat, anna, "wet", 25 * HOUR, coat=2)

    def test_a_coat_only_begun_or_drawn_upon_can_still_be_touched(self, anna):
        steps = (
            ("ground-colour", "acrylic", 1, "recoat"),
            ("draw", "none", 1, "none"),
            ("first-oil", "oil", 1, "touch-dry"),
        )
        ground, drawing, oil = job(anna.studio, steps=steps).stages.all()
        painted(ground, by=anna, end=NINE)
        painted(drawing, by=anna, end=NINE + 48 * HOUR)
        begun = start_sitting(oil, person=anna, at=NINE + 49 * HOUR)
        stop_sitting(begun, at=NINE + 50 * HOUR, finishes_coat=False)
        assert self.touch(ground, anna, "tacky", 51 * HOUR), "it drags under the new coat"

    def test_a_washed_board_is_not_touched_for_tack(self, anna, at_desk, clock):
        clock.now = NINE + HOUR / 2
        washed = job(anna.studio, steps=(("clean", "wash", 1, "recoat"), *STEPS)).stages.first()
        painted(washed, by=anna, end=NINE)
        with pytest.raises(Refused, match="Nothing was painted there"):
            self.touch(washed, anna, "tacky", HOUR / 4)
        for path in (reverse("bench"), reverse("panel", args=[washed.panel_id])):
            page = at_desk.get(path).content.decode()
            assert washed.name in page
            assert 'value="tacky"' not in page
            assert "Log a touch test" not in page

    def test_two_taps_within_two_minutes_are_one_test(self, coat, anna):
        one = self.touch(coat, anna, "tacky", HOUR)
        two = self.touch(coat, anna, "tacky", HOUR + timedelta(seconds=90))
        assert one == two
        self.touch(coat, anna, "tacky", HOUR + timedelta(minutes=3))
        assert TouchTest.objects.count() == 2

    def test_another_finding_a_minute_later_is_a_test_of_its_own(self, coat, anna):
        self.touch(coat, anna, "wet", HOUR)
        self.touch(coat, anna, "tacky", HOUR + timedelta(minutes=1))
        assert list(TouchTest.objects.values_list("result", flat=True)) == ["wet", "tacky"]

    def test_what_was_dry_is_not_wet_again(self, coat, anna):
        self.touch(coat, anna, "touch-dry", HOUR)
        with pytest.raises(Refused, match="found touch-dry"):
            self.touch(coat, anna, "tacky", 2 * HOUR)

    def test_a_touch_where_nothing_waits_is_noted_and_no_more(self, anna):
        stage = job(anna.studio, steps=(("prime", "gesso", 1, "none"),)).stages.get()
        painted(stage, by=anna, end=NINE)
        test = self.touch(stage, anna, "wet", HOUR)
        assert touch_told(test, now=NINE + HOUR) == "Plait: wet noted. No wait follows this coat."

    def test_tests_are_told_in_the_order_of_their_time(self, coat, anna):
        self.touch(coat, anna, "touch-dry", 3 * HOUR)
        self.touch(coat, anna, "tacky", HOUR)
        results = list(coat.touch_tests.values_list("result", flat=True))
        assert results == ["tacky", "touch-dry"]

    def test_a_test_still_to_come_is_refused_on_the_page(self, at_desk, coat):
        at = local(timezone.now() + HOUR)
        data = {"coat": 1, "result": "wet", "at": at}
        response = at_desk.post(reverse("touch-test-new", args=[coat.pk]), data)
        assert response.status_code == 422
        assert list(response.context["form"].errors) == ["at"]

    def test_a_touched_coat_stays_until_its_test_is_removed(self, at_desk, coat, anna):
        sitting = coat.sittings.get()
        test = self.touch(coat, anna, "wet", HOUR)
        path = reverse("sitting-remove", args=[sitting.pk])
        assert at_desk.post(path).status_code == 422
        at_desk.post(reverse("touch-test-remove", args=[test.pk]))
        assert at_desk.post(path).status_code == 302

    def test_an_earlier_coat_stays_while_a_later_one_is_touched(self, coat, anna):
        first = coat.sittings.get()
        painted(coat, by=anna, end=NINE + timedelta(days=2))
        self.touch(coat, anna, "wet", timedelta(days=2, hours=1), coat=2)
        with pytest.raises(Refused, match="touch test"):
            remove_sitting(first)

    @pytest.mark.parametrize(
        ("changed", "field"),
        [({"finishes_coat": False}, "finishes_coat"), ({"end": NINE + 2 * HOUR}, "end")],
    )
    def test_a_corrected_sitting_leaves_no_touch_test_without_its_coat(
        self, changed, field, coat, anna
    ):
        self.touch(coat, anna, "wet", HOUR)
        sitting = coat.sittings.get()
        for name, value in changed.items():
            setattr(sitting, name, value)
        with pytest.raises(Refused) as refused:
            keep_sitting(sitting, now=LONG_AFTER)
        assert refused.value.field == field

    def test_the_note_of_a_touched_sitting_may_be_corrected(self, coat, anna):
        self.touch(coat, anna, "wet", HOUR)
        sitting = coat.sittings.get()
        sitting.note = "thin coat"
        keep_sitting(sitting, now=LONG_AFTER)
        assert keep_record(sitting).note == "thin coat"

    def test_a_test_typed_wrongly_is_corrected_on_its_page(self, at_desk, coat, anna):
        test = self.touch(coat, anna, "touch-dry", HOUR)
        data = {"coat": 1, "result": "tacky", "at": local(NINE + 2 * HOUR), "note": "sticky"}
        path = reverse("touch-test-edit", args=[test.pk])
        assert at_desk.post(path, data).status_code == 302
        kept = coat.touch_tests.get()
        assert (kept.result, kept.at, kept.by) == ("tacky", NINE + 2 * HOUR, anna)
        assert (kept.pk, kept.version) == (test.pk, test.version + 1)

    def test_a_correction_from_a_second_tab_is_asked_about(self, at_desk, coat, anna):
        test = self.touch(coat, anna, "tacky", HOUR)
        path = reverse("touch-test-edit", args=[test.pk])
        seen = at_desk.get(path).context["form"]["seen_version"].value()
        data = {"coat": 1, "at": local(test.at), "seen_version": seen}
        at_desk.post(path, {**data, "result": "touch-dry"})
        answer = at_desk.post(path, {**data, "result": "wet", "note": "a thumb print"})
        assert answer.status_code == 422
        assert "a thumb print" in answer.content.decode()
        assert answer.context["form"].errors["result"] == ["It now reads ‘touch-dry’."]
        assert coat.touch_tests.get().result == "touch-dry"

    def test_a_word_added_to_a_test_leaves_its_moment_to_the_second(self, at_desk, coat, anna):
        test = self.touch(coat, anna, "tacky", HOUR + timedelta(seconds=41))
        data = {"coat": 1, "result": "tacky", "at": local(NINE + HOUR), "note": "damp day"}
        assert at_desk.post(reverse("touch-test-edit", args=[test.pk]), data).status_code == 302
        kept = coat.touch_tests.get()
        assert (kept.at, kept.note) == (test.at, "damp day")

    def test_a_correction_refused_leaves_the_test_as_it_was(self, at_desk, coat, anna):
        test = self.touch(coat, anna, "tacky", HOUR)
        data = {"coat": 1, "result": "wet", "at": local(NINE - HOUR)}
        response = at_desk.post(reverse("touch-test-edit", args=[test.pk]), data)
        assert response.status_code == 422
        assert list(response.context["form"].errors) == ["at"]
        assert coat.touch_tests.get() == test


def test_who_knows_better_may_begin_before_the_gate_and_the_log_says_so(anna):
    steps = (("prime", "gesso", 1, "recoat"), ("ground-colour", "acrylic", 1, "recoat"))
    first, second = job(anna.studio, steps=steps).stages.all()
    painted(first, by=anna, end=NINE)
    with pytest.raises(Refused, match="still drying"):
        start_sitting(second, person=anna, at=NINE + timedelta(minutes=5))
    begun = start_sitting(second, person=anna, at=NINE + timedelta(minutes=5), anyway=True)
    assert "before the coat beneath" in begun.note


def test_work_long_before_the_yes_is_a_slip_of_the_year(anna):
    panel = job(anna.studio)
    typed = Sitting(stage=panel.stages.first(), person=anna)
    typed.start = panel.commission.accepted_at - timedelta(days=400)
    typed.end = typed.start + HOUR
    with pytest.raises(Refused, match="long before") as refused:
        keep_sitting(typed, now=panel.commission.accepted_at + timedelta(days=1))
    assert refused.value.field == "start"


class TestAtOdds:
    """What does not fit among the touch tests is said when it is saved, and in the log."""

    def test_two_people_at_odds_are_told_so(self, at_desk, panel, coat, anna, berit, clock):
        record_touch_test(coat, coat=1, result="touch-dry", by=berit, at=NINE + 2 * HOUR)
        clock.now = NINE + 3 * HOUR
        data = {"coat": 1, "result": "wet", "next": reverse("panel", args=[panel.pk])}
        answer = at_desk.post(reverse("touch-test", args=[coat.pk]), data, follow=True)
        odd = "between the two nothing counts"
        (said,) = [str(message) for message in answer.context["messages"]]
        assert odd in said
        (one,) = answer.context["story"].odd
        assert {test.by for test in one.tests} == {anna, berit}
        assert answer.content.decode().count(odd) == 3

    def test_dry_written_down_before_tacky_is_told(self, at_desk, panel, coat, anna, clock):
        clock.now = NINE + 4 * HOUR
        record_touch_test(coat, coat=1, result="tacky", by=anna, at=NINE + 3 * HOUR)
        data = {"coat": 1, "result": "touch-dry", "at": local(NINE + 2 * HOUR)}
        answer = at_desk.post(reverse("touch-test-new", args=[coat.pk]), data, follow=True)
        (said,) = [str(message) for message in answer.context["messages"]]
        assert "is saved" in said
        assert "the later test counts" in said

    def test_tests_that_agree_are_saved_without_a_word_more(self, at_desk, coat, clock):
        clock.now = NINE + 4 * HOUR
        data = {"coat": 1, "result": "touch-dry", "at": local(NINE + 2 * HOUR)}
        answer = at_desk.post(reverse("touch-test-new", args=[coat.pk]), data, follow=True)
        (said,) = [str(message) for message in answer.context["messages"]]
        assert said.endswith("is saved.")
        assert answer.context["story"].odd == ()
