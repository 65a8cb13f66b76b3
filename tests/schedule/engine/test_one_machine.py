"""One machine: exact against every order, and from below never above it."""

from itertools import permutations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from schedule.engine import one_machine
from schedule.engine.one_machine import Costs, Least, least_cost

Case = tuple[list[int], Costs]


@st.composite
def cases(draw: st.DrawFn, most: int = 6) -> Case:
    lengths = draw(st.lists(st.integers(1, 9), min_size=1, max_size=most))
    steps = st.lists(
        st.sampled_from((0, 1, 1, 7, 90)), min_size=sum(lengths) + 1, max_size=sum(lengths) + 1
    )
    return lengths, np.array([np.cumsum(draw(steps)) for _ in lengths], dtype=np.int64)


def cost_of(order: tuple[int, ...], case: Case) -> int:
    lengths, costs = case
    done, total = 0, 0
    for job in order:
        done += lengths[job]
        total += int(costs[job, done])
    return total


def by_trying(case: Case) -> int:
    return min(cost_of(order, case) for order in permutations(range(len(case[0]))))


@given(cases())
def test_no_order_costs_less_than_the_least_and_one_costs_just_that(case: Case) -> None:
    least = least_cost(*case)
    assert least.cost == by_trying(case) == cost_of(least.order, case)


def from_below(case: Case) -> Least:
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(one_machine, "MOST_EXACT", 0)
        return least_cost(*case)


@given(cases())
def test_from_below_it_is_never_above_the_least_and_its_order_is_one(case: Case) -> None:
    least = from_below(case)
    assert least.cost <= by_trying(case) <= cost_of(least.order, case)
    assert sorted(least.order) == list(range(len(case[0])))


def due_jobs(count: int) -> Case:
    """Jobs with a date each that all can just be kept in one order, and only in about that."""
    lengths = [5 + 7 * n % 11 for n in range(count)]
    done = np.arange(sum(lengths) + 1)
    dues = np.cumsum(lengths)
    return lengths, np.array([done + 20 * np.maximum(0, done - due) for due in dues])


def test_from_below_it_is_close() -> None:
    case = due_jobs(14)
    assert from_below(case).cost >= 0.97 * least_cost(*case).cost


def test_many_jobs_are_bound_from_below_short_ones_and_all() -> None:
    lengths = [101 * length for length in due_jobs(30)[0]] + [1, 2]
    done = np.arange(sum(lengths) + 1)
    case = lengths, np.array([done + 20 * np.maximum(0, done - due) for due in np.cumsum(lengths)])
    least = least_cost(*case)
    assert 0.97 * cost_of(least.order, case) <= least.cost <= cost_of(least.order, case)
    assert sorted(least.order) == list(range(32))


def test_no_jobs_cost_nothing() -> None:
    assert least_cost([], np.zeros((0, 1), dtype=np.int64)) == Least(0, ())
