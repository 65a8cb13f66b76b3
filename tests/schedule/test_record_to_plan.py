"""What she says of pieces, colours, paints, people and hours, as the programme then keeps it."""

from datetime import UTC, date, datetime, time, timedelta
from types import SimpleNamespace

import pytest
from django.utils import timezone

from jobs.domain.work import start_sitting, stop_sitting
from jobs.labour.stages import stage_kind
from jobs.models import Mix, Panel
from schedule.domain.hours import windows_of
from schedule.domain.problem import build_problem
from schedule.domain.programme import plan_studio, planned_sittings
from schedule.engine.judge import faults
from schedule.engine.planner import make_plan
from schedule.models import PlannedSitting, Programme
from studio.domain.records import keep_record
from studio.models import DatedHours, DayOff, Person, Studio
from studio.signals import hold_changes
from tests.cast import agreed_panel, asked, panel_of, piece_of, surface_of

HOUR, DAY = timedelta(hours=1), timedelta(days=1)
GESSO = (("prime", "gesso", 1, "recoat"),)
OIL = (("first-oil", "oil", 1, "touch-dry"),)


@pytest.fixture(autouse=True)
def at_nine(clock):
    """Every test begins on Monday, 2 November 2026, at 09:00 in the studio."""


@pytest.fixture
def piece(anna):
    with hold_changes():
        return piece_of(asked(anna.studio, agreed=True))


def panels_on(piece, *faces: str, steps=GESSO, **surface) -> list[Panel]:
    """Return a panel on a surface of its own for each face named."""
    found = []
    with hold_changes():
        for face in faces:
            there = surface_of(piece, f"The {face} {len(found)}")
            there.face = face
            for name, value in surface.items():
                setattr(there, name, value)
            keep_record(there)
            found.append(panel_of(there, f"On the {face} {len(found)}", steps=steps))
    return found


def kept(of: Panel) -> list[PlannedSitting]:
    """Return the sittings of a panel as the programme has them, near days kept calm."""
    return list(planned_sittings(of.owner).filter(stage__panel=of))


def sittings(of: Panel | Studio) -> list[SimpleNamespace]:
    """Return the sittings of a panel, or of all, in a plan made from nothing."""
    built = build_problem(of.owner, now=timezone.now()).problem
    return [
        SimpleNamespace(
            start=row.start,
            end=row.end,
            minutes=(row.end - row.start) // timedelta(minutes=1),
            person_id=int(row.person),
        )
        for row in make_plan(built).sittings
        if isinstance(of, Studio) or row.panel == str(of.pk)
    ]


def sound(studio: Studio, now: datetime):
    """Return the problem of the record; its plan passes the judge."""
    built = build_problem(studio, now=now).problem
    assert not faults(built, make_plan(built))
    return built


def changed(thing, **values):
    for name, value in values.items():
        setattr(thing, name, value)
    return keep_record(thing)


# -- earliest starts --------------------------------------------------------------------------


def test_nothing_is_begun_on_a_piece_before_the_day_it_arrives(piece):
    (panel,) = panels_on(piece, "front")
    assert kept(panel)[0].start == datetime(2026, 11, 2, 9, tzinfo=UTC)
    changed(piece, arrives=date(2026, 11, 12))
    assert kept(panel)[0].start == datetime(2026, 11, 12, 9, tzinfo=UTC)
    changed(piece, arrives=date(2026, 10, 1))
    assert kept(panel)[0].start == datetime(2026, 11, 2, 9, tzinfo=UTC)


def test_a_colour_not_yet_agreed_holds_back_the_colours_and_not_the_gesso(piece):
    steps = (("prime", "gesso", 1, "recoat"), ("ground-colour", "acrylic", 1, "recoat"))
    (panel,) = panels_on(piece, "front", steps=steps)
    changed(panel, colour_agreed_by=date(2026, 11, 16))
    gesso, ground = sittings(panel)
    assert gesso.start.date() == date(2026, 11, 2)
    assert ground.start == datetime(2026, 11, 16, 9, tzinfo=UTC)


def test_a_stage_of_a_mix_waits_for_the_colours_too(piece):
    (panel,) = panels_on(piece, "front", steps=OIL)
    mix = keep_record(Mix(studio=piece.owner, name="Gold"))
    changed(panel, colour_agreed_by=date(2026, 11, 16))
    assert sittings(panel)[0].start.date() == date(2026, 11, 2)
    changed(panel.stages.get(), mix=mix)
    assert sittings(panel)[0].start.date() == date(2026, 11, 16)


def test_a_paint_on_order_holds_back_the_stages_that_are_painted_with_it(piece):
    first, second = panels_on(piece, "front"), panels_on(piece, "left", steps=OIL)
    changed(piece.owner.supplies.get(binder="oil"), comes=date(2026, 11, 9))
    assert sittings(first[0])[0].start.date() == date(2026, 11, 2)
    assert sittings(second[0])[0].start == datetime(2026, 11, 9, 9, tzinfo=UTC)


# -- turning and the rack ---------------------------------------------------------------------


def wet_spans(one: Panel, other: Panel, now: datetime) -> list[tuple[datetime, ...]]:
    """Return of two panels of one coat each when it is begun, laid and dry to the touch."""
    gates = {panel.key: panel.tasks[0].gate for panel in sound(one.owner, now).panels}
    rows = [(panel, *sittings(panel)) for panel in (one, other)]
    return sorted(
        (row.start, row.end, row.end + gates[str(panel.pk)].touchable) for panel, row in rows
    )


def wet_together(one: Panel, other: Panel, now: datetime) -> bool:
    """Say whether the later of two panels is worked while the other is wet."""
    (_, _, dry), (begun, _, _) = wet_spans(one, other, now)
    return begun < dry


def dry_together(one: Panel, other: Panel, now: datetime) -> bool:
    """Say whether both lie drying at once."""
    (_, _, dry), (_, laid, _) = wet_spans(one, other, now)
    return laid < dry


def test_a_turned_piece_is_not_laid_on_a_face_that_is_wet(piece, clock):
    front, back = panels_on(piece, "front", "back")
    assert wet_together(front, back, clock.now)
    changed(piece, turned=True)
    assert not wet_together(front, back, clock.now)


def test_turning_asks_for_touch_dry_and_not_for_the_whole_wait(piece, clock):
    changed(piece, turned=True)
    panels_on(piece, "front", "back", steps=(("prime", "gesso", 1, "through-dry"),))
    for panel in sound(piece.owner, clock.now).panels:
        gate = panel.tasks[0].gate
        assert timedelta(0) < gate.wet < gate.wait


def test_ends_that_do_not_lie_on_each_other_may_be_wet_at_once(piece, clock):
    changed(piece, turned=True)
    front, left = panels_on(piece, "front", "left")
    assert wet_together(front, left, clock.now)
    assert sound(piece.owner, clock.now).faces == ()


def test_a_coat_wet_on_the_other_side_when_it_was_laid_keeps_the_piece_from_being_turned(
    piece, anna, clock
):
    changed(piece, turned=True)
    front, back = panels_on(piece, "front", "back", steps=OIL)
    begun = start_sitting(front.stages.get(), person=anna, at=clock.now)
    clock.now += HOUR
    stop_sitting(begun, at=clock.now, finishes_coat=True)
    dry = sound(anna.studio, clock.now).panels[0].wet_until
    assert dry > clock.now + DAY
    assert sittings(back)[0].start >= dry


def test_a_rack_with_one_place_holds_one_wet_part(piece, clock):
    one, other = panels_on(piece, "front", "front", removable=True)
    assert dry_together(one, other, clock.now)
    changed(piece.owner, rack=1)
    assert not dry_together(one, other, clock.now)


def test_two_panels_on_one_door_take_one_place_on_the_rack(piece, clock):
    (one,) = panels_on(piece, "front", removable=True)
    other = panel_of(one.surface, "Beside it", left=3000, steps=GESSO)
    changed(piece.owner, rack=1)
    assert dry_together(one, other, clock.now)


def test_a_fixed_part_asks_for_no_room_on_the_rack(piece, clock):
    one, other = panels_on(piece, "front", "left")
    changed(piece.owner, rack=1)
    assert dry_together(one, other, clock.now)


# -- palettes and wet paint -------------------------------------------------------------------


def test_two_stages_of_one_mix_on_one_day_share_its_set_up(piece):
    one, other = panels_on(piece, "front", "left", steps=OIL)
    set_up = stage_kind("first-oil").set_up
    apart = sum(row.minutes for row in sittings(piece.owner))
    mix = keep_record(Mix(studio=piece.owner, name="Gold"))
    for panel in (one, other):
        changed(panel.stages.get(), mix=mix)
    rows = sittings(piece.owner)
    assert {row.start.date() for row in rows} == {date(2026, 11, 2)}
    # Whole quarters of an hour are planned: of 20 minutes at least one falls away.
    assert set_up == 20
    assert apart - sum(row.minutes for row in rows) >= 15


def test_minutes_typed_by_hand_hold_no_set_up_to_share(piece, clock):
    panels = panels_on(piece, "front", "left", steps=OIL)
    mix = keep_record(Mix(studio=piece.owner, name="Gold"))
    for panel in panels:
        changed(panel.stages.get(), mix=mix, minutes=120)
    for panel in panels:
        assert sum(row.minutes for row in sittings(panel)) == 120
    assert all(p.tasks[0].set_up == 0 for p in sound(piece.owner, clock.now).panels)


WET = (("first-oil", "oil", 1, "none"), ("details", "oil", 1, "touch-dry"))
"""Details worked into the first oil while it is wet: no wait between them."""


def test_what_is_worked_into_wet_oil_is_begun_while_that_is_open(piece, clock):
    (panel,) = panels_on(piece, "front", steps=WET)
    under, into = sound(piece.owner, clock.now).panels[0].tasks
    assert under.within is None
    open_for = into.within - into.minutes * timedelta(minutes=1)
    assert HOUR < open_for < 2 * DAY
    first, second = sittings(panel)
    assert second.start <= first.end + open_for


def test_a_wet_coat_found_set_is_waited_for_like_any_other(piece, anna, clock):
    (panel,) = panels_on(piece, "front", steps=WET)
    begun = start_sitting(panel.stages.first(), person=anna, at=clock.now)
    clock.now += HOUR
    stop_sitting(begun, at=clock.now, finishes_coat=True)
    head = sound(anna.studio, clock.now).panels[0]
    assert (head.tasks[0].within is None, head.opens) == (False, None)
    clock.now += 2 * DAY
    head = sound(anna.studio, clock.now).panels[0]
    assert head.tasks[0].within is None
    assert head.opens > clock.now, "it is a coat of its own now, and waits to go on"


def test_acrylic_sets_under_the_hand_and_binds_no_plan(piece, clock):
    steps = (("mid-tone", "acrylic", 1, "none"), ("shadows", "acrylic", 1, "recoat"))
    panels_on(piece, "front", steps=steps)
    assert all(task.within is None for task in sound(piece.owner, clock.now).panels[0].tasks)


# -- people -----------------------------------------------------------------------------------


def test_a_kind_of_work_goes_only_to_who_does_it(piece, anna, berit):
    gesso, oil = panels_on(piece, "front"), panels_on(piece, "left", steps=OIL)
    changed(berit, kinds=["prime", "sand"])
    changed(anna, kinds=["first-oil"])
    assert {row.person for row in kept(gesso[0])} == {berit}
    assert {row.person for row in kept(oil[0])} == {anna}


def test_who_does_every_kind_of_work_needs_no_skills_named(piece, anna, berit, clock):
    panels_on(piece, "front")
    built = sound(anna.studio, clock.now)
    assert {person.skills for person in built.people} == {frozenset()}
    assert built.panels[0].tasks[0].skill == ""


def test_work_that_nobody_does_is_named_and_the_rest_is_planned(piece, anna):
    gesso, oil = panels_on(piece, "front"), panels_on(piece, "left", steps=OIL)
    changed(anna, kinds=["prime"])
    assert kept(gesso[0])
    assert not kept(oil[0])
    (sentence,) = Programme.objects.get().troubles
    assert "nobody can do" in sentence


def test_another_person_for_a_week_is_planned_in_that_week_only(piece, anna, berit):
    panels_on(piece, *["front"] * 30, steps=OIL)
    changed(berit, paints_from=date(2026, 11, 9), paints_until=date(2026, 11, 13))
    hers = [row for row in sittings(anna.studio) if row.person_id == berit.pk]
    assert hers
    assert {row.start.date() for row in hers} <= {date(2026, 11, day) for day in range(9, 14)}


def test_a_first_or_last_day_alone_is_enough(anna, berit):
    berit.paints_from = date(2026, 12, 1)
    anna.paints_until = date(2026, 11, 30)
    windows = windows_of(anna.studio, [anna, berit], first=date(2026, 11, 2))
    assert windows[anna.pk][-1].end == datetime(2026, 11, 30, 17, tzinfo=UTC)
    assert windows[berit.pk][0].start == datetime(2026, 12, 1, 9, tzinfo=UTC)


# -- hours of one day -------------------------------------------------------------------------


def hours(studio: Studio, kind: str, day: date, start: int, end: int, person: Person | None = None):
    return keep_record(
        DatedHours(
            studio=studio, kind=kind, day=day, start=time(start), end=time(end), person=person
        )
    )


def open_on(studio: Studio, day: date, person: Person) -> list[tuple[int, int]]:
    """Return the open hours of a day, in UTC, which is the studio's own time in November."""
    windows = windows_of(studio, [person], first=day)[person.pk]
    return [(one.start.hour, one.end.hour) for one in windows if one.start.date() == day]


def test_a_visit_cuts_the_hours_of_its_day(piece, anna):
    (panel,) = panels_on(piece, "front")
    hours(anna.studio, "away", date(2026, 11, 2), 8, 11)
    assert open_on(anna.studio, date(2026, 11, 2), anna) == [(11, 13), (14, 17)]
    assert sittings(panel)[0].start == datetime(2026, 11, 2, 11, tzinfo=UTC)


def test_longer_hours_are_worked_and_a_visit_cuts_them_too(anna):
    saturday = date(2026, 11, 7)
    hours(anna.studio, "extra", saturday, 9, 15)
    hours(anna.studio, "away", saturday, 11, 12)
    assert open_on(anna.studio, saturday, anna) == [(9, 11), (12, 15)]


def test_longer_hours_join_those_that_they_touch(anna):
    hours(anna.studio, "extra", date(2026, 11, 3), 13, 20)
    assert open_on(anna.studio, date(2026, 11, 3), anna) == [(9, 20)]


def test_the_errand_of_one_leaves_the_hours_of_the_other(anna, berit):
    hours(anna.studio, "away", date(2026, 11, 3), 9, 13, person=berit)
    assert open_on(anna.studio, date(2026, 11, 3), anna) == [(9, 13), (14, 17)]
    assert open_on(anna.studio, date(2026, 11, 3), berit) == [(14, 17)]


def test_nobody_works_longer_on_a_day_off(anna):
    keep_record(DayOff(studio=anna.studio, first="2026-11-03", last="2026-11-03"))
    hours(anna.studio, "extra", date(2026, 11, 3), 13, 20)
    assert open_on(anna.studio, date(2026, 11, 3), anna) == []


# -- what stays -------------------------------------------------------------------------------


@pytest.mark.parametrize(("days", "end"), [(0, 3), (1, 4), (14, 17)])
def test_the_frozen_days_end_with_a_day_of_the_studio(days, end, anna, clock):
    anna.studio.frozen_days = days
    freeze = build_problem(anna.studio, now=clock.now).problem.freeze
    assert freeze == datetime(2026, 11, end, tzinfo=UTC)


def test_what_is_under_the_brush_stands_once_on_its_day(anna, clock):
    """However late in a quarter of an hour it was begun, and where a plan had it before."""
    panel = agreed_panel(anna.studio)
    stage = panel.stages.first()
    for minutes in (0, 7, 14):
        at = clock.now + timedelta(minutes=minutes)
        plan_studio(anna.studio, now=at)
        sitting = start_sitting(stage, person=anna, at=at)
        for later in (0, 3, 8):
            plan_studio(anna.studio, now=at + timedelta(minutes=later))
            rows = planned_sittings(anna.studio).filter(stage=stage, coat=1)
            assert [row.start for row in rows] == [at + timedelta(minutes=later)]
        sitting.delete()


def test_what_is_wrong_with_several_panels_alike_is_told_once_with_all_of_them(anna, clock):
    with hold_changes():
        surface = surface_of(piece_of(asked(anna.studio, agreed=True)))
        for number, name in enumerate(("Plait", "Finch", "Oak")):
            panel_of(surface, name, left=2000 * number)
    anna.kinds = ["varnish"]
    keep_record(anna)
    assert Programme.objects.get().troubles == [
        "‘A painted chest’, Plait, Finch and Oak: nobody can do Prime, coat 1 of 2. It and what "
        "follows on each of these panels are not planned."
    ]
