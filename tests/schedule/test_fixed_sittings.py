"""Sittings that she fixes herself: kept by every plan, moved, let go, and told everywhere."""

from datetime import UTC, datetime, time, timedelta

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext
from django.urls import reverse

from jobs.domain.work import start_sitting, stop_sitting
from jobs.models import Piece, Stage
from schedule.domain.fixing import fix_sitting, keep_pin, let_go, pins_amiss
from schedule.domain.problem import build_problem
from schedule.domain.programme import planned_sittings
from schedule.engine.judge import faults
from schedule.engine.planner import make_plan
from schedule.feed import studio_feed
from schedule.models import Pin, PlannedSitting, Programme
from studio.domain.records import keep_record
from studio.models import DatedHours, DayOff
from studio.refusal import Refused
from tests.cast import agreed_panel, painted

HOUR, DAY = timedelta(hours=1), timedelta(days=1)
FRIDAY = datetime(2026, 11, 6, 14, tzinfo=UTC)


@pytest.fixture(autouse=True)
def at_nine(clock):
    """Every test begins on Monday, 2 November 2026, at 09:00 in the studio."""


@pytest.fixture
def panel(anna):
    return agreed_panel(anna.studio, steps=(("first-oil", "oil", 1, "touch-dry"),))


@pytest.fixture
def row(panel) -> PlannedSitting:
    return planned_sittings(panel.owner).get()


def spans(studio) -> list[tuple[datetime, datetime]]:
    return [(row.start, row.end) for row in planned_sittings(studio)]


def pin_of(stage: Stage, start: datetime, *, minutes: int = 60, person=None, coat: int = 1) -> Pin:
    return Pin(
        studio=stage.owner, stage=stage, coat=coat, start=start,
        end=start + timedelta(minutes=minutes), person=person or stage.owner.people.first(),
    )  # fmt: skip


def gessoed(studio) -> Stage:
    """Return the one stage of a panel with two coats of gesso to come."""
    return agreed_panel(studio, steps=(("prime", "gesso", 2, "recoat"),)).stages.get()


def sound(studio, now) -> None:
    built = build_problem(studio, now=now).problem
    assert not faults(built, make_plan(built))


def typed(pin: Pin, **changed) -> dict:
    start = pin.start
    shown = {
        "day": f"{start:%Y-%m-%d}", "start": f"{start:%H:%M}", "minutes": pin.minutes,
        "seen_version": pin.version,
    }  # fmt: skip
    return {**shown, **changed}


# -- what the plan does -----------------------------------------------------------------------


def test_a_fixed_sitting_stays_where_the_rest_moves(panel, row, anna, clock):
    fix_sitting(row, seen=row.sequence, now=clock.now)
    before = spans(anna.studio)[0]
    earlier = agreed_panel(anna.studio, "Finch", steps=(("first-oil", "oil", 1, "touch-dry"),))
    earlier.commission.wanted = clock.now.date()
    keep_record(earlier.commission)
    assert planned_sittings(anna.studio).get(stage__panel=panel).start == before[0]
    sound(anna.studio, clock.now)


def test_a_moved_sitting_is_planned_to_the_minute_and_out_of_hours_too(panel, clock):
    late = datetime(2026, 11, 8, 19, tzinfo=UTC)
    keep_pin(pin_of(panel.stages.get(), late), now=clock.now)
    assert (late, late + HOUR) in spans(panel.owner)
    sound(panel.owner, clock.now)


def test_what_is_let_go_comes_back_to_where_there_is_room(panel, clock):
    before = spans(panel.owner)
    pin = keep_pin(pin_of(panel.stages.get(), FRIDAY), now=clock.now)
    assert spans(panel.owner)[-1] == (FRIDAY, FRIDAY + HOUR)
    let_go(pin)
    after = spans(panel.owner)
    assert after[-1][1].date() == before[-1][1].date()
    assert sum(((end - start) for start, end in after), 0 * HOUR) == before[-1][1] - before[0][0]


def test_no_more_of_a_coat_is_fixed_than_is_left_of_it(panel, clock):
    stage = panel.stages.get()
    stage.minutes = 90
    keep_record(stage)
    keep_pin(pin_of(stage, FRIDAY, minutes=240), now=clock.now)
    assert spans(panel.owner) == [(FRIDAY, FRIDAY + 1.5 * HOUR)]
    with pytest.raises(Refused, match="No work is left on that coat"):
        keep_pin(pin_of(stage, FRIDAY + 3 * DAY), now=clock.now)
    assert spans(panel.owner) == [(FRIDAY, FRIDAY + 1.5 * HOUR)]


def test_a_sitting_that_comes_to_stand_on_a_wet_coat_is_told_and_planned_elsewhere(
    anna, at_desk, clock
):
    stage = gessoed(anna.studio)
    pin = keep_pin(pin_of(stage, FRIDAY, coat=2, minutes=30), now=clock.now)
    assert pins_amiss(Programme.objects.get(), now=clock.now) == []
    clock.now = FRIDAY - HOUR / 2
    painted(stage, by=anna, end=clock.now)
    assert FRIDAY not in {start for start, _ in spans(anna.studio)}
    (sentence,) = Programme.objects.get().troubles
    assert "a coat beneath it still dries" in sentence
    (amiss,) = pins_amiss(Programme.objects.get(), now=clock.now)
    assert (amiss.pin, amiss.why, amiss.told) == (pin, sentence, True)
    page = at_desk.get(reverse("programme")).content.decode()
    assert page.count("a coat beneath it still dries") == 1
    assert reverse("pin-let-go", args=[pin.pk]) in page
    sound(anna.studio, clock.now)


def test_a_day_off_that_comes_over_a_fixed_sitting_is_told(panel, anna, clock):
    pin = keep_pin(pin_of(panel.stages.get(), FRIDAY), now=clock.now)
    clock.now += HOUR
    off = DayOff(studio=anna.studio, first=FRIDAY.date(), last=FRIDAY.date(), reason="Flu")
    keep_record(off)
    (amiss,) = pins_amiss(Programme.objects.get(), now=clock.now)
    assert (amiss.pin, amiss.why) == (pin, "You are away then: Flu. It is planned all the same.")
    clock.now += HOUR
    # Fixed anew on that day, she knows.
    pin = Pin.objects.get()
    pin.start, pin.end = pin.start + HOUR, pin.end + HOUR
    keep_pin(pin, now=clock.now)
    assert pins_amiss(Programme.objects.get(), now=clock.now) == []


def test_somebody_elses_errand_is_no_matter_of_a_fixed_sitting(panel, anna, berit, clock):
    keep_pin(pin_of(panel.stages.get(), FRIDAY, person=anna), now=clock.now)
    clock.now += HOUR
    hours = {"day": FRIDAY.date(), "start": time(14), "end": time(15), "note": "Dentist"}
    errand = DatedHours(studio=anna.studio, person=berit, **hours)
    keep_record(errand)
    assert pins_amiss(Programme.objects.get(), now=clock.now) == []
    errand.person = anna
    keep_record(errand)
    assert "Dentist" in pins_amiss(Programme.objects.get(), now=clock.now)[0].why


@pytest.mark.parametrize("page", ["bench", "programme"])
def test_what_needs_her_eye_can_be_moved_or_let_go_there(page, at_desk, panel, anna, clock):
    pin = keep_pin(pin_of(panel.stages.get(), FRIDAY), now=clock.now)
    clock.now += HOUR
    keep_record(DayOff(studio=anna.studio, first=FRIDAY.date(), last=FRIDAY.date()))
    shown = at_desk.get(reverse(page)).content.decode()
    assert "You are away then." in shown
    caution = shown[shown.index("You are away then.") :]
    assert reverse("pin-move", args=[pin.pk]) in caution
    assert reverse("pin-let-go", args=[pin.pk]) in caution


def test_a_sitting_of_someone_who_paints_no_more_is_told(panel, berit, clock):
    keep_pin(pin_of(panel.stages.get(), FRIDAY, person=berit), now=clock.now)
    assert planned_sittings(panel.owner).filter(person=berit).exists()
    berit.paints = False
    keep_record(berit)
    assert not planned_sittings(panel.owner).filter(person=berit).exists()
    assert "fixed it" in Programme.objects.get().troubles[0]


def test_a_fixed_sitting_goes_when_its_coat_is_done(panel, anna, clock):
    stage = panel.stages.get()
    keep_pin(pin_of(stage, FRIDAY), now=clock.now)
    begun = start_sitting(stage, person=anna, at=clock.now)
    assert Pin.objects.exists()
    clock.now += HOUR
    stop_sitting(begun, at=clock.now, finishes_coat=True)
    assert not Pin.objects.exists()


def test_the_sitting_of_a_later_coat_stays_when_an_earlier_one_is_done(anna, clock):
    stage = agreed_panel(anna.studio).stages.first()
    keep_pin(pin_of(stage, FRIDAY, coat=2, minutes=30), now=clock.now)
    painted(stage, by=anna, end=clock.now)
    assert Pin.objects.get().coat == 2
    assert FRIDAY in {start for start, _ in spans(anna.studio)}


def test_a_fixed_sitting_whose_time_has_passed_holds_nothing(panel, clock):
    keep_pin(pin_of(panel.stages.get(), FRIDAY), now=clock.now)
    clock.now = FRIDAY + DAY
    assert build_problem(panel.owner, now=clock.now).problem.pins == ()
    assert build_problem(panel.owner, now=clock.now).lost_pins == ()


# -- what is refused --------------------------------------------------------------------------


def test_two_sittings_of_one_person_are_not_fixed_at_one_time(anna, clock):
    one, other = (agreed_panel(anna.studio, name).stages.first() for name in ("Plait", "Finch"))
    keep_pin(pin_of(one, FRIDAY), now=clock.now)
    with pytest.raises(Refused, match="is fixed then") as refusal:
        keep_pin(pin_of(other, FRIDAY + HOUR / 2), now=clock.now)
    assert refusal.value.field == "start"
    keep_pin(pin_of(other, FRIDAY + HOUR), now=clock.now)


def test_a_sitting_on_a_coat_that_is_wet_by_the_plan_is_not_fixed(anna, clock):
    stage = gessoed(anna.studio)
    first = planned_sittings(anna.studio).first()
    with pytest.raises(Refused, match="counted on to be ready to recoat by today") as refusal:
        keep_pin(pin_of(stage, first.end, coat=2, minutes=30), now=clock.now)
    assert refusal.value.field == "start"
    assert "The coat beneath" in refusal.value.sentence
    assert not Pin.objects.exists()


def test_a_sitting_on_a_coat_that_dries_is_not_fixed(anna, clock):
    stage = gessoed(anna.studio)
    painted(stage, by=anna, end=clock.now)
    with pytest.raises(Refused, match=r"The coat beneath, .* is counted on to be ready to recoat"):
        keep_pin(pin_of(stage, clock.now + HOUR / 4, coat=2, minutes=30), now=clock.now)


def test_a_sitting_before_the_piece_comes_is_not_fixed(panel, clock):
    Piece.objects.update(arrives=FRIDAY.date() + DAY)
    with pytest.raises(Refused, match="The piece comes only on Sat 7 Nov"):
        keep_pin(pin_of(panel.stages.get(), FRIDAY), now=clock.now)


def test_two_people_may_be_fixed_at_one_time_but_not_on_one_panel(anna, berit, clock):
    one, other = (agreed_panel(anna.studio, name).stages.first() for name in ("Plait", "Finch"))
    keep_pin(pin_of(one, FRIDAY), now=clock.now)
    with pytest.raises(Refused, match="is fixed then"):
        keep_pin(pin_of(one, FRIDAY, person=berit, coat=2), now=clock.now)
    keep_pin(pin_of(other, FRIDAY, person=berit), now=clock.now)


def test_a_sitting_that_has_moved_since_the_page_was_shown_is_not_fixed(row, clock):
    with pytest.raises(Refused, match="has moved since"):
        fix_sitting(row, seen=row.sequence + 1, now=clock.now)
    clock.now = row.start + HOUR / 4
    with pytest.raises(Refused, match="has begun"):
        fix_sitting(row, seen=row.sequence, now=clock.now)


# -- the pages --------------------------------------------------------------------------------


def test_a_sitting_is_fixed_and_let_go_on_the_programme(at_desk, panel, row, clock):
    address = reverse("sitting-fix", args=[row.pk])
    page = at_desk.get(reverse("programme")).content.decode()
    assert address not in page, "what has begun is fixed no more"
    clock.now -= HOUR
    assert address in at_desk.get(reverse("programme")).content.decode()
    row.refresh_from_db()
    page = at_desk.post(address, {"seen": row.sequence}, follow=True).content.decode()
    assert ": fixed, " in page
    pin = Pin.objects.get()
    assert (pin.start, pin.end, pin.person_id) == (row.start, row.end, row.person_id)
    page = at_desk.get(reverse("programme")).content.decode()
    assert reverse("pin-let-go", args=[pin.pk]) in page
    assert address not in page
    page = at_desk.post(reverse("pin-let-go", args=[pin.pk]), follow=True).content.decode()
    assert "may move it again" in page
    assert not Pin.objects.exists()


def test_a_second_click_lets_go_once(at_desk, panel, clock):
    pin = keep_pin(pin_of(panel.stages.get(), FRIDAY), now=clock.now)
    tap = {"once": "6f1d2a52-9f3e-4c35-8f2f-0f2a0c7d3b11"}
    for _ in range(2):
        answer = at_desk.post(reverse("pin-let-go", args=[pin.pk]), tap)
        assert answer.status_code == 302


def test_a_planned_sitting_is_moved_by_its_form(at_desk, panel, row, anna):
    address = reverse("sitting-move", args=[row.pk])
    form = at_desk.get(address).context["form"]
    assert form.initial["minutes"] == row.minutes
    assert "person" not in form.fields, "nobody else paints"
    data = {"day": "2026-11-06", "start": "14:00", "minutes": row.minutes}
    assert at_desk.post(address, data).status_code == 302
    assert (FRIDAY, FRIDAY + timedelta(minutes=row.minutes)) in spans(anna.studio)


def test_a_fixed_sitting_is_moved_and_another_may_sit_it(at_desk, panel, berit, clock):
    pin = keep_pin(pin_of(panel.stages.get(), FRIDAY), now=clock.now)
    data = typed(pin, start="15:30", person=berit.pk)
    assert at_desk.post(reverse("pin-move", args=[pin.pk]), data).status_code == 302
    pin.refresh_from_db()
    assert (pin.start, pin.person) == (FRIDAY + 1.5 * HOUR, berit)
    assert at_desk.post(reverse("pin-move", args=[pin.pk]), data).status_code == 422, "a stale form"


def test_the_form_of_a_fixed_sitting_lets_it_go_and_saving_names_the_panel(
    at_desk, panel, row, clock
):
    planned = at_desk.get(reverse("sitting-move", args=[row.pk])).content.decode()
    assert 'form="let-go"' not in planned
    pin = keep_pin(pin_of(panel.stages.get(), FRIDAY), now=clock.now)
    address = reverse("pin-move", args=[pin.pk])
    assert reverse("pin-let-go", args=[pin.pk]) in at_desk.get(address).content.decode()
    said = at_desk.post(address, typed(pin, start="15:30"), follow=True).content.decode()
    assert f"Fixed sitting on {panel.title}" in said


@pytest.mark.parametrize(
    ("field", "value", "words"),
    [
        ("day", "2026-10-30", "That is past"),
        ("day", "soon", "Type a day"),
        ("day", "9026-11-06", "Check the year"),
        ("start", "14:10", "quarters of an hour"),
        ("start", "", "cannot stay empty"),
        ("minutes", "50", "quarters of an hour"),
        ("minutes", "0", "quarters of an hour"),
        ("minutes", "7000", "quarters of an hour"),
    ],
)
def test_a_time_that_cannot_be_is_refused_beside_its_field(
    field, value, words, at_desk, panel, clock
):
    pin = keep_pin(pin_of(panel.stages.get(), FRIDAY), now=clock.now)
    page = at_desk.post(reverse("pin-move", args=[pin.pk]), typed(pin, **{field: value}))
    assert page.status_code == 422
    beside = "start" if words == "That is past" else field
    assert words in str(page.context["form"].errors[beside])
    assert Pin.objects.get().start == FRIDAY


def test_outside_the_hours_is_a_caution_and_is_kept(at_desk, panel, clock):
    pin = keep_pin(pin_of(panel.stages.get(), FRIDAY), now=clock.now)
    address = reverse("pin-move", args=[pin.pk])
    page = at_desk.post(address, typed(pin, start="21:00"), follow=True).content.decode()
    assert "outside the working hours" in page
    assert Pin.objects.get().start == FRIDAY + 7 * HOUR


def test_the_bench_and_the_calendar_say_what_is_fixed(at_desk, panel, clock):
    at = "fixed"
    assert at not in at_desk.get(reverse("bench")).content.decode()
    assert b"as you fixed it" not in studio_feed(panel.owner)
    keep_pin(pin_of(panel.stages.get(), FRIDAY), now=clock.now)
    assert at in at_desk.get(reverse("bench")).content.decode()
    assert b"as you fixed it" in studio_feed(panel.owner).replace(b"\r\n ", b"")


def test_pages_ask_no_more_for_three_fixed_sittings_than_for_one(at_desk, anna, clock):
    panels = [agreed_panel(anna.studio, f"Panel {number}") for number in range(3)]
    asked = []
    for number, panel in enumerate(panels):
        keep_pin(pin_of(panel.stages.first(), FRIDAY + number * HOUR), now=clock.now)
        for page in ("programme", "bench"):
            with CaptureQueriesContext(connection) as seen:
                at_desk.get(reverse(page))
            asked.append(len(seen))
    assert asked[:2] == asked[4:]
