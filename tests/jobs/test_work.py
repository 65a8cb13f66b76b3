"""Work at the bench and the log typed afterwards."""

from datetime import UTC, datetime, timedelta

import pytest
from django.db import IntegrityError, transaction
from django.urls import reverse
from django.utils import timezone

from jobs.domain.work import (
    keep_sitting,
    start_sitting,
    stop_sitting,
)
from jobs.models import Commission, Panel, Sitting, Stage
from studio.refusal import Refused
from tests.cast import job, painted, panel_of

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
