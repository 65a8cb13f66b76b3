"""A fixed sitting whose time has come, whose work is gone, or which is no longer agreed."""

from datetime import UTC, datetime, timedelta

import pytest
from django.urls import reverse

from jobs.domain.work import start_sitting
from jobs.models import Commission
from schedule.domain.fixing import MOVED_ON, fix_sitting, keep_pin, let_go, pins_amiss
from schedule.domain.inputs import digest_of
from schedule.domain.pins import pinned
from schedule.domain.problem import build_problem
from schedule.domain.programme import plan_studio, planned_sittings
from schedule.models import Pin, PlannedSitting, Programme
from studio.domain.records import keep_record
from studio.refusal import Refused
from tests.cast import agreed_panel, painted

MINUTE, HOUR, DAY = timedelta(minutes=1), timedelta(hours=1), timedelta(days=1)
TEN = datetime(2026, 11, 2, 10, tzinfo=UTC)
FRIDAY = datetime(2026, 11, 6, 14, tzinfo=UTC)
OIL = (("first-oil", "oil", 1, "touch-dry"),)


@pytest.fixture(autouse=True)
def at_nine(clock):
    """Every test begins on Monday, 2 November 2026, at 09:00 in the studio."""


@pytest.fixture
def panel(anna):
    panel = agreed_panel(anna.studio, steps=OIL)
    stage = panel.stages.get()
    stage.minutes = 120
    keep_record(stage)
    return panel


def fixed(panel, start: datetime, *, minutes: int = 60, person=None, coat: int = 1) -> Pin:
    stage = panel.stages.first()
    return Pin(
        studio=panel.owner, stage=stage, coat=coat, start=start,
        end=start + timedelta(minutes=minutes), person=person or panel.owner.people.first(),
    )  # fmt: skip


def rows(studio) -> list[tuple]:
    return [(row.start, row.end, row.pin is not None) for row in planned_sittings(studio)]


class TestItsTimeHasCome:
    @pytest.fixture
    def pin(self, panel, clock) -> Pin:
        return keep_pin(fixed(panel, TEN, minutes=120), now=clock.now)

    def test_what_is_left_of_it_is_held_till_its_end(self, pin, panel, clock, at_desk):
        """Ten minutes late: it is still hers, from the next quarter of an hour on."""
        clock.now = TEN + 10 * MINUTE
        plan_studio(panel.owner, now=clock.now)
        rest = rows(panel.owner)
        assert (TEN + 15 * MINUTE, TEN + 2 * HOUR, True) in rest
        # What can no longer be done then is planned elsewhere.
        assert sum((end - start for start, end, _ in rest), timedelta(0)) == 2 * HOUR
        assert Programme.objects.get().troubles == []
        assert pins_amiss(Programme.objects.get(), now=clock.now) == []
        page = at_desk.get(reverse("programme")).content.decode()
        assert reverse("pin-let-go", args=[pin.pk]) in page

    def test_it_is_the_same_work_all_the_while_and_no_news(self, pin, panel, clock):
        told = Programme.objects.get().causes
        digests = set()
        for late in (0, 10, 40, 80):
            clock.now = TEN + late * MINUTE
            digests.add(digest_of(build_problem(panel.owner, now=clock.now)))
            plan_studio(panel.owner, now=clock.now)
        assert len(digests) == 1
        assert Programme.objects.get().causes == told
        assert told[0].startswith("You fixed First oil (Lid: Plait) for Mon 2 Nov 10:00")

    @pytest.mark.parametrize("later", [0, 10, 15])
    def test_once_it_is_begun_it_simply_goes_on(self, later, pin, panel, anna, clock):
        clock.now = TEN + 5 * MINUTE
        start_sitting(panel.stages.get(), person=anna, at=clock.now)
        clock.now += later * MINUTE
        made = plan_studio(anna.studio, now=clock.now)
        assert made.troubles == []
        assert pins_amiss(made, now=clock.now) == []

    @pytest.mark.parametrize("left", [14, 1, 0, -1])
    def test_in_its_last_minutes_it_ends_without_a_word(self, left, pin, panel, clock):
        clock.now = TEN + 2 * HOUR - left * MINUTE
        made = plan_studio(panel.owner, now=clock.now)
        assert made.troubles == []
        assert pins_amiss(made, now=clock.now) == []
        assert not any(kept for _, _, kept in rows(panel.owner))

    def test_another_is_not_fixed_beside_it_till_it_is_over(self, pin, anna, clock):
        finch = agreed_panel(anna.studio, "Finch", steps=OIL)
        clock.now = TEN + 20 * MINUTE
        with pytest.raises(Refused, match="is fixed then"):
            keep_pin(fixed(finch, TEN + HOUR), now=clock.now)
        clock.now = TEN + 2 * HOUR
        assert keep_pin(fixed(finch, TEN + 2 * HOUR), now=clock.now).pk


def test_what_is_fixed_of_work_called_off_is_in_nobodys_way(panel, anna, clock):
    keep_pin(fixed(panel, FRIDAY), now=clock.now)
    finch = agreed_panel(anna.studio, "Finch", steps=OIL)
    commission = panel.commission
    commission.state = Commission.State.DECLINED
    keep_record(commission)
    assert keep_pin(fixed(finch, FRIDAY), now=clock.now).pk


@pytest.mark.parametrize("verb", ["get", "post"])
def test_a_sitting_of_a_finished_coat_is_neither_moved_nor_fixed(verb, panel, anna, clock, at_desk):
    row = planned_sittings(anna.studio).first()
    painted(panel.stages.get(), by=anna, end=clock.now)
    row.refresh_from_db()
    data = {"day": "2026-11-06", "start": "14:00", "minutes": 60}
    address = reverse("sitting-move", args=[row.pk])
    answer = getattr(at_desk, verb)(address, data, follow=True)
    assert answer.redirect_chain[-1][0].startswith(reverse("programme"))
    assert MOVED_ON in answer.content.decode()
    assert "is saved" not in answer.content.decode()
    with pytest.raises(Refused, match="has moved since"):
        fix_sitting(row, seen=row.sequence, now=clock.now)
    assert not Pin.objects.exists()


def test_what_is_let_go_in_the_frozen_days_is_free_and_not_held_there(panel, anna, clock):
    anna.studio.frozen_days = 7
    keep_record(anna.studio)
    pin = keep_pin(fixed(panel, FRIDAY, minutes=120), now=clock.now)
    assert rows(anna.studio) == [(FRIDAY, FRIDAY + 2 * HOUR, True)]
    let_go(pin)
    assert PlannedSitting.objects.filter(dropped_at=None).latest("end").end <= FRIDAY


def test_a_fixed_sitting_off_the_quarters_takes_those_it_touches(panel, anna, clock):
    pin = fixed(panel, FRIDAY + 10 * MINUTE, minutes=40)
    problem = build_problem(anna.studio, now=clock.now).problem
    (made,) = pinned([pin], problem.panels, {str(anna.pk)}, now=clock.now).pins
    assert (made.start, made.end) == (FRIDAY, FRIDAY + HOUR)
    over = pinned([pin], problem.panels, {str(anna.pk)}, now=FRIDAY + HOUR)
    assert (over.pins, over.troubles) == ((), ())


@pytest.mark.parametrize("start", ["09:15:00.5", "09:15:01", "09:20"])
def test_a_sitting_is_fixed_on_the_quarter_to_the_last_fraction(start, panel, clock, at_desk):
    pin = keep_pin(fixed(panel, FRIDAY), now=clock.now)
    data = {"day": "2026-11-05", "start": start, "minutes": 60, "seen_version": pin.version}
    answer = at_desk.post(reverse("pin-move", args=[pin.pk]), data)
    assert answer.status_code == 422
    assert "quarters of an hour" in str(answer.context["form"].errors["start"])


def test_nobody_of_another_studio_can_be_chosen(panel, anna, berit, stranger, clock, at_desk):
    pin = keep_pin(fixed(panel, FRIDAY, person=anna), now=clock.now)
    address = reverse("pin-move", args=[pin.pk])
    choices = at_desk.get(address).context["form"].fields["person"].queryset
    assert set(choices) == {anna, berit}
    data = {
        "day": "2026-11-06", "start": "14:00", "minutes": 60, "seen_version": pin.version,
        "person": stranger.pk,
    }  # fmt: skip
    answer = at_desk.post(address, data)
    assert answer.status_code == 422
    assert "person" in answer.context["form"].errors
    pin.refresh_from_db()
    assert pin.person == anna
