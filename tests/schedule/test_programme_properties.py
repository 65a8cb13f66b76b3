"""Any method in any hours: the stored programme keeps every rule of the trade.

Counted twice: by the engine's own judge, and here from the stored rows alone.
"""

from collections import defaultdict
from datetime import UTC, date, datetime, time, timedelta
from itertools import pairwise

from hypothesis import HealthCheck, example, given, settings
from hypothesis import strategies as st

from jobs.domain.gates import gate_kind, gate_wait
from jobs.domain.reckoning import reckon
from jobs.domain.workshop import workshop_of
from jobs.labour.stages import stage_kinds
from jobs.models import Panel, Stage
from schedule.domain.problem import build_problem
from schedule.domain.programme import plan_studio, planned_gates, planned_sittings
from schedule.engine.judge import faults
from schedule.engine.planner import make_plan
from schedule.models import PlannedFinish, Programme
from studio.models import DayOff, Studio, WorkingWindow
from studio.signals import hold_changes
from tests.cast import asked, panel_of, piece_of, studio_of, surface_of

SLOT = timedelta(minutes=15)
QUARTERS = st.integers(0, 95)
GATES = ("none", "recoat", "touch-dry", "through-dry")

steps = st.lists(
    st.tuples(
        st.sampled_from(sorted(stage_kinds())), st.integers(1, 3), st.sampled_from(GATES),
        st.none() | st.integers(5, 500),
    ),
    min_size=1, max_size=5,
)  # fmt: skip
panels = st.lists(steps, min_size=1, max_size=3)
hours = st.lists(st.tuples(st.integers(0, 6), QUARTERS, QUARTERS), min_size=1, max_size=8)
zones = st.sampled_from(["Europe/London", "America/New_York", "Asia/Kathmandu", "Pacific/Auckland"])
moments = st.timedeltas(timedelta(0), timedelta(days=730)).map(
    lambda later: datetime(2026, 1, 1, tzinfo=UTC) + later
)


def clock_time(quarter: int) -> time:
    return time(quarter // 4, quarter % 4 * 15)


def furnish(drawn_hours, drawn_panels, zone: str) -> Studio:
    """Make a studio with these hours and an accepted commission with these panels."""
    count = Studio.objects.count()
    person = studio_of("Any", person="Ada", email=f"ada{count}@example.org", time_zone=zone)
    studio = person.studio
    with hold_changes():
        surface = surface_of(piece_of(asked(studio, agreed=True)))
        for number, drawn in enumerate(drawn_panels):
            panel = panel_of(surface, f"Panel {number}", left=2000 * number, steps=())
            for place, (kind, coats, gate, minutes) in enumerate(drawn):
                Stage.objects.create(
                    panel=panel, kind=kind, name=kind, binder=stage_kinds()[kind].binder,
                    coats=coats, gate=gate, minutes=minutes, position=place,
                )  # fmt: skip
        studio.windows.all().delete()
        WorkingWindow.objects.bulk_create(
            WorkingWindow(
                studio=studio, weekday=day, start=clock_time(min(a, b)), end=clock_time(max(a, b))
            )
            for day, a, b in drawn_hours
            if a != b
        )
    return studio


def in_the_hours(studio: Studio, start: datetime, end: datetime) -> bool:
    """Whether every quarter of an hour from start to end lies in a window of its local day.

    A window's ends are moments: in the night when the clocks go back, the hour told twice lies
    between them both times.
    """
    while start < end:
        day = start.astimezone(studio.zone).date()
        inside = any(
            datetime.combine(day, window.start, studio.zone).astimezone(UTC)
            <= start
            < datetime.combine(day, window.end, studio.zone).astimezone(UTC)
            for window in studio.windows.filter(weekday=day.weekday())
        )
        if not inside or studio.days_off.filter(first__lte=day, last__gte=day).exists():
            return False
        start += SLOT
    return True


def check_gates(studio: Studio, panel: Panel, sittings, opens) -> None:
    """Each coat starts after the last coat's gate, which opens no sooner than its wait is over."""
    ready = None
    for stage in panel.stages.all():
        for coat in range(1, stage.coats + 1):
            spans = sittings.get((stage.pk, coat))
            if not spans:
                return
            assert ready is None or spans[0][0] >= ready
            ready = max(end for _, end in spans)
            wait = gate_wait(stage, coat, workshop_of(studio))
            if gate_kind(stage, coat) != "none" and wait and (stage.pk, coat) in opens:
                assert opens[stage.pk, coat] >= ready + wait - timedelta(seconds=1)
                ready = opens[stage.pk, coat]


@settings(
    max_examples=15, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture]
)
@given(drawn_hours=hours, drawn_panels=panels, zone=zones, now=moments, off=st.booleans())
@example(
    drawn_hours=[(6, 10, 12)],
    drawn_panels=[[("background", 1, "none", None)] * 3],
    zone="Pacific/Auckland",
    now=datetime(2026, 1, 1, tzinfo=UTC) + timedelta(days=444),
    off=False,
)
def test_the_stored_programme_keeps_every_rule(db, drawn_hours, drawn_panels, zone, now, off):
    studio = furnish(drawn_hours, drawn_panels, zone)
    if off:
        first = now.date() + timedelta(days=1)
        DayOff.objects.create(studio=studio, first=first, last=first + timedelta(days=6))
    programme = plan_studio(studio, now=now)
    asked_for = build_problem(studio, now=now)
    assert not faults(asked_for.problem, make_plan(asked_for.problem))

    sittings: dict[tuple, list] = defaultdict(list)
    for row in planned_sittings(studio):
        assert row.start >= now
        assert in_the_hours(studio, row.start, row.end), f"{row.start} to {row.end}"
        sittings[row.stage_id, row.coat].append((row.start, row.end))
    spans = sorted(span for group in sittings.values() for span in group)
    assert all(one[1] <= two[0] for one, two in pairwise(spans))

    opens = {(row.stage_id, row.coat): row.opens for row in planned_gates(studio)}
    for panel in Panel.objects.of(studio).for_bench():
        check_gates(studio, panel, sittings, opens)

    finish = PlannedFinish.objects.get(commission__studio=studio)
    if finish.finish is None:
        assert programme.troubles
        return
    for stage in Stage.objects.of(studio):
        for coat, minutes in enumerate(reckon(stage).per_coat, start=1):
            planned = sum((end - start for start, end in sittings[stage.pk, coat]), timedelta(0))
            # A ground colour that stands mixed from an earlier coat of the day needs no set-up.
            shared = stage.sort.set_up if stage.sort.places_ground and not stage.minutes else 0
            assert timedelta(minutes=minutes - shared) <= planned
            assert planned < timedelta(minutes=minutes) + SLOT
    last = max([*(end for _, end in spans), *opens.values()])
    assert finish.finish == last


def test_the_rules_hold_over_a_night_in_which_the_clocks_change(db):
    """London, 29 March 2026: from 00:59 to 02:00 (European summer-time, Directive 2000/84/EC)."""
    night = [(5, 88, 95), (6, 0, 24)]
    studio = furnish(night, [[("prime", 3, "recoat", 120)]], "Europe/London")
    plan_studio(studio, now=datetime(2026, 3, 28, 12, tzinfo=UTC))
    rows = list(planned_sittings(studio))
    assert all(in_the_hours(studio, row.start, row.end) for row in rows)
    assert any(row.start.astimezone(studio.zone).date() == date(2026, 3, 29) for row in rows)
    assert Programme.objects.get().troubles == []
