"""Why the last day is the last day: each link of the chain is what it says."""

from collections import Counter
from dataclasses import replace
from datetime import timedelta

import pytest
from hypothesis import given, settings

from schedule.engine.baselines import baselines
from schedule.engine.calendar import Window
from schedule.engine.explanation import Cause, Link, why_then
from schedule.engine.judge import faults
from schedule.engine.plan import Plan
from schedule.engine.planner import make_plan
from schedule.engine.problem import Commission, Gate, Panel, Person, Pin, Problem, Task
from tests.schedule.engine.studios import MONDAY, SLOT, studios

MINUTE, HOUR, DAY = timedelta(minutes=1), timedelta(hours=1), timedelta(days=1)
FREE = (Cause.CHOICE, Cause.HELD, Cause.PINNED)


def wrong(problem: Problem, plan: Plan) -> Counter:
    """What the judge finds, but for finishes and lateness, which a move changes."""
    return Counter(
        one
        for one in faults(problem, plan)
        if not ("should finish" in one or " is late by " in one or "says" in one)
    )


def can_go_sooner(problem: Problem, plan: Plan, link: Link) -> bool:
    """Whether the sitting that a link holds up could begin where the link does, or a part of it."""
    known = wrong(problem, plan)
    task = next(
        t for p in problem.panels if p.key == link.panel for t in p.tasks if t.key == link.task
    )
    key = (link.panel, link.task, link.person)
    stands = (s for s in plan.sittings if (s.panel, s.task, s.person) == key)
    sitting = next((s for s in stands if s.start == link.until), None)
    if sitting is None:
        assert link.cause not in FREE
        return False
    rest = [one for one in plan.sittings if one != sitting]
    length = sitting.end - sitting.start
    for part in range(int(length / SLOT), 0, -1):
        parts = [replace(sitting, start=link.since, end=link.since + part * SLOT)]
        if part * SLOT < length:
            parts.append(replace(sitting, end=sitting.end - part * SLOT))
        ends = [s.end for s in (*rest, *parts) if (s.panel, s.task) == key[:2]]
        gates = tuple(
            replace(gate, opens=max(ends) + task.gate.wait)
            if (gate.panel, gate.task) == key[:2]
            else gate
            for gate in plan.gates
        )
        moved = replace(plan, sittings=tuple(rest + parts), gates=gates)
        if not wrong(problem, moved) - known:
            return True
    return False


def open_in(problem: Problem, link: Link) -> timedelta:
    """The longest open time of a link's person within it."""
    windows = next(one.windows for one in problem.people if one.key == link.person)
    spans = [min(one.end, link.until) - max(one.start, link.since) for one in windows]
    return max(spans, default=timedelta(0))


def at_any_time(problem: Problem) -> Problem:
    """The problem with nothing that comes on a day of its own: its plan waits for nothing then."""
    panels = tuple(
        replace(
            panel,
            not_before=None,
            tasks=tuple(replace(task, not_before=None) for task in panel.tasks),
        )
        for panel in problem.panels
    )
    return replace(problem, panels=panels)


@settings(max_examples=50, deadline=None)
@given(studios())
def test_each_link_is_what_it_says(problem: Problem) -> None:
    free = replace(problem, pins=())
    series = baselines(problem).one_commission
    for asked, plan in (
        (problem, make_plan(problem)),
        (free, series),
        (at_any_time(free), series),
        (replace(at_any_time(free), freeze=MONDAY + 9 * DAY), series),
    ):
        for finish in plan.finishes:
            for link in why_then(asked, plan, finish.commission):
                if link.cause in FREE:
                    assert can_go_sooner(asked, plan, link)
                if link.cause == Cause.CLOSED:
                    assert open_in(asked, link) < SLOT
                if link.cause == Cause.SHORT:
                    assert SLOT <= open_in(asked, link) < link.minutes * MINUTE + SLOT
                if link.cause == Cause.PINNED:
                    assert link.until in {pin.start for pin in asked.pins}
                if link.cause == Cause.HELD:
                    assert link.until < asked.freeze


def day(number: int, start: int, end: int) -> Window:
    return Window(MONDAY + number * DAY + start * HOUR, MONDAY + number * DAY + end * HOUR)


WEEK = tuple(day(n, 8, 17) for n in range(5)) + tuple(day(n, 8, 17) for n in range(7, 12))
DRY = Gate("recoat", timedelta(hours=20))


def causes_of(problem: Problem, plan: Plan | None = None) -> list[tuple[Cause, str]]:
    links = why_then(problem, plan or make_plan(problem), problem.commissions[0].key)
    return [(link.cause, link.task) for link in links if link.until > link.since]


def box(*tasks: Task, windows: tuple[Window, ...] = WEEK, others=(), **more) -> Problem:
    panels = (Panel("lid", "box", tasks), *others)
    now = more.pop("now", MONDAY + 8 * HOUR)
    people = (Person("ana", windows),)
    return Problem(now, people, (Commission("box"), Commission("tray")), panels, **more)


def test_what_is_left_of_the_day_is_too_short_for_it() -> None:
    # Friday: an hour of primer from 15:00 is dry at once; two hours in one go wait for Monday.
    problem = box(
        Task("primer", 60, 60, 60),
        Task("ground", 120, 120, 120, DRY),
        now=MONDAY + 4 * DAY + 15 * HOUR,
    )
    links = why_then(problem, make_plan(problem), "box")
    short = next(link for link in links if link.cause == Cause.SHORT)
    assert (short.task, short.minutes) == ("ground", 120)
    assert short.until == MONDAY + 7 * DAY + 8 * HOUR


def test_an_open_day_too_short_is_not_called_a_choice() -> None:
    saturday = day(5, 10, 12)
    problem = box(
        Task("primer", 60, 60, 60, DRY),
        Task("figures", 240, 180, 240),
        windows=tuple(sorted((*WEEK, saturday))),
        now=MONDAY + 4 * DAY + 8 * HOUR,
    )
    assert causes_of(problem) == [
        (Cause.SITTING, "primer"), (Cause.WAIT, "primer"), (Cause.SHORT, "figures"),
        (Cause.SITTING, "figures"),
    ]  # fmt: skip


def test_work_that_goes_first_is_no_reason_where_it_took_only_time_to_spare() -> None:
    # The tray takes Thursday's first two hours; the primer dries over the night all the same.
    tray = Panel("tray", "tray", (Task("tray", 120, 120, 120),))
    problem = box(
        Task("primer", 60, 60, 60, Gate("recoat", timedelta(hours=14))),
        Task("ground", 60, 60, 60),
        others=(tray,),
        windows=WEEK[3:5],
        now=MONDAY + 3 * DAY,
    )
    plan = make_plan(problem)
    late = MONDAY + 3 * DAY + 10 * HOUR
    sittings = tuple(
        replace(s, start=late, end=late + HOUR)
        if s.task == "primer"
        else replace(s, start=MONDAY + 3 * DAY + 8 * HOUR, end=late)
        if s.task == "tray"
        else s
        for s in plan.sittings
    )
    gates = (replace(plan.gates[0], opens=late + 15 * HOUR),)
    told = causes_of(problem, replace(plan, sittings=sittings, gates=gates))
    assert (Cause.SITTING, "tray") not in told
    assert (Cause.SLACK, "primer") in told


def test_what_comes_on_a_day_begins_the_chain_and_what_was_before_it_is_left_out() -> None:
    comes = MONDAY + 7 * DAY
    problem = box(Task("primer", 60, 60, 60, DRY), Task("gold", 60, 60, 60, not_before=comes))
    links = why_then(problem, make_plan(problem), "box")
    assert [(one.cause, one.task, one.until) for one in links[:1]] == [(Cause.START, "gold", comes)]
    assert [one.cause for one in links[1:]] == [Cause.CLOSED, Cause.SITTING]


@pytest.mark.parametrize(
    ("more", "cause"),
    [
        ({"pins": True}, Cause.PINNED),
        ({"freeze": MONDAY + 4 * DAY}, Cause.HELD),
        ({}, Cause.CHOICE),
    ],
)
def test_a_sitting_that_could_have_come_sooner_says_what_keeps_it(more: dict, cause: Cause) -> None:
    start = MONDAY + 3 * DAY + 9 * HOUR
    pin = Pin("lid", "primer", "ana", start, start + HOUR)
    problem = box(Task("primer", 60, 60, 60, DRY), pins=(pin,))
    plan = make_plan(problem)
    if not more.pop("pins", False):
        problem = replace(problem, pins=(), **more)
    assert causes_of(problem, plan) == [
        (cause, "primer"), (Cause.SITTING, "primer"), (Cause.WAIT, "primer"),
    ]  # fmt: skip
