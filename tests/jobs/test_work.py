"""Work at the bench and the log typed afterwards."""

from datetime import UTC, datetime, timedelta

import pytest
from django.db import IntegrityError, transaction
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
from jobs.models import Commission, Panel, Sitting, Stage, TouchTest
from studio.domain.records import keep_record
from studio.refusal import Refused
from tests.cast import STEPS, job, painted, panel_of

NINE = datetime(2026, 11, 2, 9, tzinfo=UTC)
HOUR = timedelta(hours=1)
LONG_AFTER = NINE + timedelta(days=14)
NO_WORK = [
    (False, "enquiry", "not accepted yet"),
    (False, "estimated", "not accepted yet"),
    (False, "declined", "was declined"),
    (True, "declined", "was called off"),
    (True, "delivered", "is handed over"),
]


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


def logged(stage, person, start, end, **more) -> Sitting:
    sitting = Sitting(stage=stage, person=person, start=start, end=end, **more)
    return keep_sitting(sitting, now=LONG_AFTER)


def local(moment: datetime) -> str:
    return timezone.localtime(moment).strftime("%Y-%m-%dT%H:%M")


class TestStarting:
    def test_a_second_tap_finds_the_sitting_begun(self, gesso, anna):
        one = start_sitting(gesso, person=anna, at=NINE)
        two = start_sitting(gesso, person=anna, at=NINE + timedelta(seconds=1))
        assert one == two
        assert Sitting.objects.get().start == NINE

    def test_she_is_at_one_panel_at_a_time(self, gesso, panel, anna):
        other = panel_of(panel.surface, "Finch", left=2000)
        start_sitting(gesso, person=anna, at=NINE)
        with pytest.raises(Refused, match="You are at ‘Plait’ since 09:00"):
            start_sitting(other.stages.first(), person=anna, at=NINE + HOUR)
        assert Sitting.objects.count() == 1

    def test_the_database_itself_keeps_one_running_sitting_a_person(self, gesso, anna):
        start_sitting(gesso, person=anna, at=NINE)
        with pytest.raises(IntegrityError), transaction.atomic():
            Sitting.objects.create(stage=gesso, person=anna, start=NINE + HOUR)

    def test_two_people_work_side_by_side(self, gesso, panel, anna, berit):
        other = panel_of(panel.surface, "Finch", left=2000)
        start_sitting(gesso, person=anna, at=NINE)
        start_sitting(other.stages.first(), person=berit, at=NINE)
        assert Sitting.objects.filter(end=None).count() == 2

    @pytest.mark.parametrize(("agreed", "state", "reason"), NO_WORK)
    def test_no_work_begins_on_what_is_not_in_hand_and_the_true_reason_is_told(
        self, agreed, state, reason, gesso, anna, at_desk
    ):
        Commission.objects.update(state=state, accepted_at=NINE if agreed else None)
        gesso.refresh_from_db()
        with pytest.raises(Refused, match=reason):
            start_sitting(gesso, person=anna, at=NINE)
        assert reason in at_desk.get(reverse("panel", args=[gesso.panel_id])).content.decode()

    def test_stages_come_in_their_order(self, panel, anna):
        _, ground, _ = panel.stages.all()
        with pytest.raises(Refused, match="comes first"):
            start_sitting(ground, person=anna, at=NINE)

    def test_nothing_is_painted_on_a_coat_still_drying(self, gesso, anna):
        painted(gesso, by=anna, end=NINE)
        with pytest.raises(Refused, match="still drying"):
            start_sitting(gesso, person=anna, at=NINE + timedelta(minutes=1))
        assert start_sitting(gesso, person=anna, at=LONG_AFTER)

    def test_a_stage_done_is_not_begun_again(self, gesso, anna):
        painted(gesso, by=anna, end=NINE)
        painted(gesso, by=anna, end=NINE + timedelta(days=2))
        with pytest.raises(Refused, match="done"):
            start_sitting(gesso, person=anna, at=LONG_AFTER)


class TestStopping:
    def test_a_second_tap_changes_nothing(self, gesso, anna):
        sitting = start_sitting(gesso, person=anna, at=NINE)
        stop_sitting(sitting, at=NINE + HOUR, finishes_coat=True)
        stop_sitting(sitting, at=NINE + 3 * HOUR, finishes_coat=False, note="late tap")
        kept = Sitting.objects.get()
        assert (kept.end, kept.finishes_coat, kept.note) == (NINE + HOUR, True, "")

    @pytest.mark.parametrize("after", [timedelta(0), -HOUR])
    def test_a_sitting_ended_in_the_same_breath_has_a_length(self, after, gesso, anna):
        sitting = start_sitting(gesso, person=anna, at=NINE)
        kept = stop_sitting(sitting, at=NINE + after, finishes_coat=False)
        assert kept.end == NINE + timedelta(seconds=1)

    def test_a_coat_to_be_gone_on_with_does_not_dry(self, gesso, anna):
        sitting = start_sitting(gesso, person=anna, at=NINE)
        stop_sitting(sitting, at=NINE + HOUR, finishes_coat=False)
        assert start_sitting(gesso, person=anna, at=NINE + HOUR)


class TestTypedByHand:
    @pytest.mark.parametrize(
        ("start", "end", "field"),
        [
            (NINE, NINE, "end"),
            (NINE, NINE - HOUR, "end"),
            (NINE, NINE + timedelta(hours=17), "end"),
            (LONG_AFTER + HOUR, LONG_AFTER + 2 * HOUR, "start"),
            (LONG_AFTER - HOUR, LONG_AFTER + HOUR, "end"),
        ],
    )
    def test_a_time_that_cannot_be_is_refused_at_its_field(self, start, end, field, gesso, anna):
        with pytest.raises(Refused) as refused:
            logged(gesso, anna, start, end)
        assert refused.value.field == field
        assert not Sitting.objects.exists()

    @pytest.mark.parametrize(
        ("start", "end", "clash"),
        [
            (NINE - HOUR, NINE, False),
            (NINE + HOUR, NINE + 2 * HOUR, False),
            (NINE, NINE + HOUR, True),
            (NINE - HOUR, NINE + timedelta(minutes=1), True),
            (NINE + timedelta(minutes=59), NINE + 2 * HOUR, True),
            (NINE - HOUR, NINE + 2 * HOUR, True),
            (NINE + timedelta(minutes=20), NINE + timedelta(minutes=40), True),
        ],
    )
    def test_two_sittings_of_one_person_may_meet_but_not_overlap(
        self, start, end, clash, gesso, anna, berit
    ):
        logged(gesso, anna, NINE, NINE + HOUR)
        logged(gesso, berit, start, end)
        if clash:
            with pytest.raises(Refused, match="Anna was at ‘Plait’ then"):
                logged(gesso, anna, start, end)
        else:
            logged(gesso, anna, start, end)

    def test_the_page_says_it_beside_the_field_and_keeps_what_was_typed(self, at_desk, gesso, anna):
        start, end = NINE + HOUR, NINE
        data = {"person": anna.pk, "start": local(start), "end": local(end), "note": "second try"}
        response = at_desk.post(reverse("sitting-new", args=[gesso.pk]), data)
        page = response.content.decode()
        assert response.status_code == 422
        assert list(response.context["form"].errors) == ["end"]
        assert f'value="{local(start)}"' in page
        assert "second try" in page

    @pytest.mark.parametrize("typed", ["0001-01-01T00:00", "9999-12-31T23:59", "noon", ""])
    @pytest.mark.parametrize("field", ["start", "end"])
    def test_a_moment_out_of_this_world_is_refused(self, field, typed, at_desk, gesso, anna):
        times = {"start": local(NINE), "end": local(NINE + HOUR), field: typed}
        response = at_desk.post(
            reverse("sitting-new", args=[gesso.pk]), {"person": anna.pk, **times}
        )
        assert response.status_code == 422
        assert field in response.context["form"].errors

    def test_a_sitting_written_down_has_finished_its_coat_unless_she_says_no(self, at_desk, gesso):
        path = reverse("sitting-new", args=[gesso.pk])
        assert at_desk.get(path).context["form"]["finishes_coat"].value()

    @pytest.mark.parametrize(
        ("coats", "finished", "said"),
        [
            (2, "on", "1 coat is still open: 1 of 2 finished."),
            (2, "", "2 coats are still open: 0 of 2 finished."),
            (1, "", "The coat is still to be finished"),
            (1, "on", "The stage is done."),
        ],
    )
    def test_saving_it_says_what_is_still_open(self, coats, finished, said, at_desk, gesso, anna):
        Stage.objects.filter(pk=gesso.pk).update(coats=coats)
        data = {"person": anna.pk, "start": local(NINE), "end": local(NINE + HOUR)}
        data |= {"finishes_coat": finished} if finished else {}
        answer = at_desk.post(reverse("sitting-new", args=[gesso.pk]), data, follow=True)
        assert said in answer.content.decode()

    def test_a_sitting_is_logged_corrected_and_removed(self, at_desk, gesso, anna):
        data = {"person": anna.pk, "start": local(NINE), "end": local(NINE + HOUR)}
        at_desk.post(reverse("sitting-new", args=[gesso.pk]), data)
        sitting = Sitting.objects.get()
        assert (sitting.start, sitting.end) == (NINE, NINE + HOUR)
        changed = {**data, "end": local(NINE + 2 * HOUR), "seen_version": sitting.version}
        at_desk.post(reverse("sitting-edit", args=[sitting.pk]), changed)
        sitting.refresh_from_db()
        assert sitting.end == NINE + 2 * HOUR
        at_desk.post(reverse("sitting-remove", args=[sitting.pk]))
        assert not Sitting.objects.exists()

    def test_no_more_coats_are_finished_than_the_stage_has(self, gesso, anna):
        for day in range(2):
            start = NINE + timedelta(days=day)
            logged(gesso, anna, start, start + HOUR, finishes_coat=True)
        start = NINE + timedelta(days=3)
        with pytest.raises(Refused, match="All coats"):
            logged(gesso, anna, start, start + HOUR, finishes_coat=True)

    @pytest.mark.parametrize(("agreed", "state", "reason"), NO_WORK)
    def test_work_on_what_is_not_in_hand_is_logged_after_the_handing_over_only(
        self, agreed, state, reason, gesso, anna
    ):
        Commission.objects.update(state=state, accepted_at=NINE if agreed else None)
        gesso.refresh_from_db()
        if state == "delivered":
            assert logged(gesso, anna, NINE, NINE + HOUR).pk
            return
        with pytest.raises(Refused, match=reason):
            logged(gesso, anna, NINE, NINE + HOUR)

    def test_another_studios_people_do_not_sit_at_our_bench(self, at_desk, gesso, stranger):
        data = {"person": stranger.pk, "start": local(NINE), "end": local(NINE + HOUR)}
        response = at_desk.post(reverse("sitting-new", args=[gesso.pk]), data)
        assert list(response.context["form"].errors) == ["person"]


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
