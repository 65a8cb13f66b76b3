"""A plan made anew after something went wrong: few near stages move, and it costs no more."""

from dataclasses import replace
from datetime import timedelta
from statistics import mean, median

import pytest

from schedule.engine import keeping
from schedule.engine.hands import micros
from schedule.engine.judge import faults
from schedule.engine.judge_score import score
from schedule.engine.objective import NEAR
from schedule.engine.outcome import express
from schedule.engine.pins import settled
from schedule.engine.plan import Plan
from schedule.engine.problem import Pin, Problem
from schedule.engine.rules import as_before, wanted_first
from schedule.engine.score import starts_of
from schedule.engine.search import search
from tests.benchmarks.studios import full_studio, studio
from tests.schedule.engine.later import gone_wrong, later

DAY = timedelta(days=1)


def moves(problem: Problem, old: Plan, new: Plan) -> list[float]:
    """The days by which each near stage moves, nothing included."""
    before, after = starts(old), starts(new)
    return [
        abs(after[key] - start) / DAY
        for key, start in before.items()
        if key in after and problem.now <= start < problem.now + NEAR
    ]


def starts(plan: Plan) -> dict[tuple[str, str], object]:
    found = {}
    for sitting in sorted(plan.sittings, key=lambda sitting: sitting.start):
        found.setdefault((sitting.panel, sitting.task), sitting.start)
    return found


def in_its_order(problem: Problem, old: Plan) -> Plan:
    ground = settled(problem, lambda works: as_before(works, starts_of(works, old)))
    return express(ground.works, ground.run, ground.stops, ground.dropped)


@pytest.mark.parametrize("made", [studio, full_studio])
def test_when_a_coat_is_slow_and_a_stage_is_long_at_most_half_of_the_near_stages_move(made) -> None:
    parts, days, plainly = [], [], []
    for seed in range(1, 6):
        problem = made(5, seed=seed)
        old = search(problem, steps=30).plan
        worse = gone_wrong(later(problem, old, problem.now + 21 * DAY), old, seed)
        new, plain = search(worse, steps=40, old=old), in_its_order(worse, old)
        assert faults(worse, new.plan) == ()
        assert new.score == score(worse, new.plan, old)
        assert new.score.total <= score(worse, plain, old).total
        moved = moves(worse, old, new.plan)
        parts.append(sum(by > 0 for by in moved) / len(moved))
        days.append(mean(moved))
        plainly.append(mean(moves(worse, old, plain)))
    assert median(parts) <= 0.5
    assert median(days) < min(1, median(plainly))


def test_where_nothing_went_wrong_nothing_near_moves() -> None:
    problem = studio(5, seed=2)
    old = search(problem, steps=30).plan
    same = later(problem, old, problem.now + 21 * DAY)
    assert not any(moves(same, old, search(same, steps=30, old=old).plan))


def test_a_pin_of_her_own_that_cannot_be_kept_ends_the_keeping_of_what_is_near(monkeypatch) -> None:
    problem = studio(1, seed=1)
    old = search(problem, steps=2).plan
    first, near = old.sittings[0], old.sittings[1]
    pin = Pin(first.panel, first.task, first.person, first.start, first.end)
    ground = settled(replace(problem, pins=(pin,)), wanted_first)
    # Two decodes find it out; a third would be the first of many.
    runs = iter([replace(ground.run, missed=[(0, -1)])] * 2)
    monkeypatch.setattr(keeping, "decode", lambda *given, **more: next(runs))
    kept = keeping.keep_near(ground, old, ground.keys, until=micros(near.end))
    assert kept.run.missed == [(0, -1)]
