"""What moved and why, told after each change of the work."""

from datetime import UTC, date, datetime, time, timedelta

import pytest
from django.urls import reverse

from jobs.domain.work import record_touch_test, start_sitting, stop_sitting
from jobs.models import Commission
from schedule.domain.causes import causes
from schedule.domain.inputs import inputs_of
from schedule.domain.moves import NEWS, SHOWN, last_change, news_of
from schedule.domain.problem import build_problem
from schedule.domain.programme import plan_studio, planned_sittings
from schedule.models import Pin, Programme
from studio.domain.records import keep_record, remove_record
from studio.models import DatedHours, DayOff
from studio.signals import hold_changes
from tests.cast import agreed_panel, asked, painted, panel_of, piece_of, surface_of

MINUTE, HOUR, DAY = timedelta(minutes=1), timedelta(hours=1), timedelta(days=1)


@pytest.fixture(autouse=True)
def at_nine(clock):
    """Every test begins on Monday, 2 November 2026, at 09:00 in the studio."""


@pytest.fixture
def panel(anna):
    return agreed_panel(anna.studio)


def change(studio):
    return last_change(Programme.objects.get(studio=studio))


def told(studio) -> str:
    return " ".join(change(studio).causes)


def test_the_first_plan_moves_nothing(panel, anna):
    assert change(anna.studio) is None


def test_a_tacky_coat_moves_what_follows_and_says_by_how_much_it_dries_later(panel, anna, clock):
    stage = panel.stages.first()
    painted(stage, by=anna, end=clock.now)
    before = {(row.stage_id, row.coat): row.start for row in planned_sittings(anna.studio)}
    clock.now += 3 * HOUR
    record_touch_test(stage, coat=1, result="tacky", by=anna, at=clock.now)
    made = change(anna.studio)
    assert made.at == clock.now
    assert made.causes[0].startswith("Prime, coat 1 of 2 (Lid: Plait) dries later: Mon 2 Nov ")
    assert " instead of Mon 2 Nov " in made.causes[0]
    after = {(row.stage_id, row.coat): row.start for row in planned_sittings(anna.studio)}
    moved = {(one.stage.pk, one.coat): (one.was, one.now) for one in made.moves}
    for key, (was, now) in moved.items():
        assert (before[key], after[key]) == (was, now)
    assert moved, "the second coat was planned for the old hour"
    still = [key for key in after if key not in moved]
    assert all(abs(after[key] - before[key]) < 15 * MINUTE for key in still)


def test_a_finger_moves_a_coat_worth_telling_by_minutes_and_the_clock_by_a_quarter(
    panel, anna, clock
):
    stage = panel.stages.first()
    painted(stage, by=anna, end=clock.now)
    task = f"{stage.pk}:1"

    def told_of(later: timedelta) -> tuple[str, ...]:
        asked_of = build_problem(anna.studio, now=clock.now)
        before = inputs_of(asked_of, anna.studio)
        opens = datetime.fromisoformat(before["gates"][task]) + later
        after = {**before, "gates": {task: opens.isoformat()}}
        return causes(before, after, asked_of, anna.studio, starts={}, gates={}).told

    assert [len(told_of(n * MINUTE)) for n in (14, 15)] == [0, 1]
    clock.now += 3 * HOUR
    record_touch_test(stage, coat=1, result="tacky", by=anna, at=clock.now)
    assert [len(told_of(n * MINUTE / 2)) for n in (1, 2)] == [0, 1]


def test_a_coat_that_dries_at_night_is_told_by_the_morning_and_not_to_the_minute(
    panel, anna, clock
):
    clock.now += 7 * HOUR
    painted(panel.stages.first(), by=anna, end=clock.now)
    panel.stages.filter(pk=panel.stages.first().pk).update(binder="oil", gate="touch-dry", coats=1)
    plan_studio(anna.studio, now=clock.now)
    asked = build_problem(anna.studio, now=clock.now)
    (task,) = inputs_of(asked, anna.studio)["gates"]
    night = datetime(2026, 11, 5, 0, 44, tzinfo=UTC)

    def said(opens: datetime, was: datetime) -> tuple[str, ...]:
        known = [
            {**inputs_of(asked, anna.studio), "gates": {task: one.isoformat()}}
            for one in (was, opens)
        ]
        return causes(*known, asked, anna.studio, starts={}, gates={}).told

    (sentence,) = said(night + 9 * HOUR, night)
    assert sentence.endswith("dries later: Thu 5 Nov 09:45 instead of Thu 5 Nov morning.")
    (sentence,) = said(night + 20 * HOUR, night)
    assert sentence.endswith("dries later: Fri 6 Nov morning instead of Thu 5 Nov morning.")
    assert said(night + 1.6 * HOUR, night) == ()
    record_touch_test(panel.stages.first(), coat=1, result="tacky", by=anna, at=clock.now + HOUR)
    asked = build_problem(anna.studio, now=clock.now + HOUR)
    (sentence,) = said(night + 1.6 * HOUR, night)
    assert sentence.endswith("dries later, but by Thu 5 Nov morning as before.")


def test_a_day_off_is_told_by_its_name_and_goes_again(panel, anna):
    off = DayOff(
        studio=anna.studio, first=date(2026, 11, 10), last=date(2026, 11, 13), reason="A wedding"
    )
    keep_record(off)
    assert told(anna.studio) == "Day off: A wedding, Tue 10 Nov to Fri 13 Nov."
    off.last = off.first
    keep_record(off)
    assert told(anna.studio) == "Day off: A wedding, Tue 10 Nov, changed."
    remove_record(off)
    assert told(anna.studio) == "No longer so: day off: A wedding, Tue 10 Nov."


def test_a_visit_and_longer_hours_are_told_by_their_names_and_whose_they_are(panel, anna, berit):
    plan_studio(anna.studio, now=Programme.objects.get().made_at)
    hours = {"day": date(2026, 11, 14), "start": time(10), "end": time(16)}
    keep_record(DatedHours(studio=anna.studio, kind="extra", **hours))
    assert told(anna.studio) == "Longer hours, Sat 14 Nov 10:00 to 16:00."
    visit = DatedHours(studio=anna.studio, note="Mrs Alder", person=berit, **hours)
    visit.day = date(2026, 11, 11)
    keep_record(visit)
    assert told(anna.studio) == "Berit: Away: Mrs Alder, Wed 11 Nov 10:00 to 16:00."


def test_other_weekly_hours_are_told_by_the_weekday(panel, anna):
    window = anna.studio.windows.filter(weekday=1).last()
    remove_record(window)
    assert told(anna.studio) == ("The working hours of Tuesdays are others from Tue 3 Nov on.")


def test_who_does_which_kind_of_work_is_told(panel, anna):
    anna.kinds = ["prime", "varnish"]
    keep_record(anna)
    assert told(anna.studio) == "Anna does prime and varnish instead of every kind of work."
    anna.kinds = []
    keep_record(anna)
    assert told(anna.studio) == "Anna does every kind of work instead of prime and varnish."


def test_what_is_waited_for_is_told_by_its_name_and_day_and_not_by_each_coat(panel, anna):
    supply = anna.studio.supplies.get(binder=panel.stages.first().binder)
    supply.name, supply.comes = "Gesso", date(2026, 11, 18)
    keep_record(supply)
    assert told(anna.studio) == "Gesso comes on Wed 18 Nov."
    panel.colour_agreed_by = date(2026, 11, 16)
    keep_record(panel)
    assert told(anna.studio) == "The colour of Lid: Plait is to be agreed by Mon 16 Nov."
    piece = panel.surface.piece
    piece.arrives = date(2026, 11, 4)
    keep_record(piece)
    assert told(anna.studio) == "Chest arrives on Wed 4 Nov."
    piece.arrives = date(2026, 11, 5)
    keep_record(piece)
    assert told(anna.studio) == "Chest arrives on Thu 5 Nov instead of Wed 4 Nov."
    supply.comes = None
    keep_record(supply)
    assert told(anna.studio) == "Gesso is waited for no longer, till now Wed 18 Nov."


def test_a_coat_left_unfinished_that_took_longer_than_reckoned_is_told(panel, anna, clock):
    stage = panel.stages.get(kind="prime")
    sitting = start_sitting(stage, person=anna, at=clock.now)
    clock.now += 5 * HOUR
    stop_sitting(sitting, at=clock.now, finishes_coat=False)
    assert told(anna.studio).startswith(
        "Prime, coat 1 of 2 (Lid: Plait) takes longer than reckoned: 5 h so far instead of 13 min."
    )


def test_a_colder_room_is_told_once_and_not_by_each_coat(panel, anna):
    anna.studio.room_temperature = 12
    keep_record(anna.studio)
    assert told(anna.studio) == "The room has 12 °C instead of 19 °C."


def test_commissions_taken_on_called_off_and_wanted_otherwise_are_told_by_name(panel, anna):
    other = agreed_panel(anna.studio, "Finch").commission
    assert told(anna.studio) == "‘A painted chest’ is taken on."
    other.wanted = date(2026, 12, 1)
    keep_record(other)
    assert told(anna.studio) == (
        "‘A painted chest’ is wanted by 1 December 2026 instead of no certain day."
    )
    other.state = Commission.State.DECLINED
    keep_record(other)
    assert told(anna.studio) == "‘A painted chest’ is no longer in hand."


def test_longer_work_more_coats_and_a_new_panel_are_told(panel, anna):
    stage = panel.stages.get(kind="first-oil")
    stage.minutes = 300
    keep_record(stage)
    assert told(anna.studio) == "First oil (Lid: Plait) is 5 h of work instead of 1 h 26."
    stage.coats = 2
    keep_record(stage)
    assert "First oil, coat 2 of 2 (Lid: Plait) is to do now." in told(anna.studio)
    panel_of(panel.surface, "Finch", left=2000)
    assert "Lid: Finch is new." in told(anna.studio)


def test_somebody_who_paints_no_more_is_named(panel, anna, berit):
    plan_studio(anna.studio, now=Programme.objects.get().made_at)
    assert told(anna.studio) == "Berit paints too."
    berit.paints = False
    keep_record(berit)
    assert told(anna.studio) == "Berit paints no more."


def test_a_fixed_sitting_is_told_and_its_letting_go(panel, anna):
    row = planned_sittings(anna.studio).last()
    at = row.start + 7 * DAY
    pin = Pin(
        studio=anna.studio, stage=row.stage, coat=row.coat, person=anna, start=at,
        end=at + (row.end - row.start),
    )  # fmt: skip
    keep_record(pin)
    assert told(anna.studio).startswith("You fixed First oil (Lid: Plait) for ")
    remove_record(pin)
    assert "You let go of First oil (Lid: Plait)" in told(anna.studio)


def test_what_only_takes_its_course_does_not_paint_over_what_she_did_last(panel, anna, clock):
    anna.studio.room_temperature = 12
    keep_record(anna.studio)
    before = change(anna.studio)
    start_sitting(panel.stages.first(), person=anna, at=clock.now)
    for _ in range(4):
        clock.now += 15 * MINUTE
        plan_studio(anna.studio, now=clock.now)
    assert change(anna.studio) == before


def test_a_day_on_which_nothing_was_begun_is_told_with_what_slid(panel, anna, clock):
    clock.now += DAY
    plan_studio(anna.studio, now=clock.now)
    made = change(anna.studio)
    assert made.causes == (
        "Prime, coat 1 of 2 (Lid: Plait) was planned for Mon 2 Nov 09:00 and is not begun.",
    )
    assert all(one.later for one in made.moves)


def test_ten_moved_coats_are_shown_and_the_rest_counted(anna, clock, at_desk):
    with hold_changes():
        surface = surface_of(piece_of(asked(anna.studio, agreed=True)))
        for number in range(4):
            panel_of(surface, f"Panel {number}", left=2000 * number)
    off = DayOff(studio=anna.studio, first=date(2026, 11, 2), last=date(2026, 11, 4))
    keep_record(off)
    made = change(anna.studio)
    assert len(made.moves) == SHOWN
    assert made.more > 0
    page = at_desk.get(reverse("programme")).content.decode()
    assert f"and {made.more} more of the next two weeks." in page
    for one in made.moves:
        assert one.stage.panel.title in page


def test_a_change_that_moves_nothing_near_says_so_shortly(panel, anna, at_desk):
    keep_record(DayOff(studio=anna.studio, first=date(2026, 12, 21), last=date(2026, 12, 21)))
    assert not change(anna.studio).moves
    page = at_desk.get(reverse("programme")).content.decode()
    assert "Day off, Mon 21 Dec." in page
    assert "Nothing of the next two weeks moved for it." in page


def test_the_bench_points_to_it_for_an_hour(panel, anna, clock, at_desk):
    stage = panel.stages.first()
    painted(stage, by=anna, end=clock.now)
    clock.now += 3 * HOUR
    tap = {"result": "tacky", "coat": 1}
    page = at_desk.post(reverse("touch-test", args=[stage.pk]), tap, follow=True)
    assert "dries later" in page.content.decode()
    assert 'href="/programme/#moved"' in page.content.decode()
    programme = Programme.objects.get()
    assert news_of(programme, now=clock.now + NEWS) is None


def test_what_cannot_be_told_hinders_no_plan(panel, anna, monkeypatch):
    Programme.objects.update(inputs={"day": "nonsense"})
    keep_record(DayOff(studio=anna.studio, first=date(2026, 11, 2), last=date(2026, 11, 2)))
    assert Programme.objects.get().troubles == []
    assert planned_sittings(anna.studio)[0].start.date() == date(2026, 11, 3)
