"""The exact layer: what it answers is allowed, is the best there is, and is the same each time."""

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from schedule.engine.cp.model import (
    Cumulative,
    Delivery,
    Exclusive,
    Lag,
    Model,
    Task,
    Total,
    Unary,
)
from schedule.engine.cp.solve import Limits, Status, solve
from tests.outside.project_scheduling import makespan
from tests.schedule.engine.cp.checked import best_of_all, breaches, cost

KEYS = ("a", "b", "c")
ONE = Limits(effort=1.0)
some_keys = st.lists(st.sampled_from(KEYS), unique=True, max_size=3).map(tuple)
ends_of_lags = st.none() | st.integers(-3, 3)


def spans(horizon: int) -> st.SearchStrategy[tuple[tuple[int, int], ...]]:
    return st.lists(
        st.tuples(st.integers(0, horizon - 1), st.integers(1, 2)).map(lambda s: (s[0], sum(s))),
        max_size=2,
    ).map(tuple)


@st.composite
def tasks(draw: st.DrawFn, key: str, horizon: int) -> Task:
    least = draw(st.sampled_from((1, 1, 2, 0)))
    return Task(
        key,
        least,
        least + draw(st.sampled_from((0, 0, 1, 3))),
        draw(st.sampled_from(((), ((0, horizon),))) | spans(horizon)),
        draw(st.sampled_from((None, None, None, 1))),
        draw(st.sampled_from((False, False, True))),
    )


@st.composite
def models(draw: st.DrawFn) -> Model:
    horizon = draw(st.integers(3, 6))
    lags = st.builds(
        Lag, st.just("a"), st.sampled_from("bc"), ends_of_lags, ends_of_lags, *[st.booleans()] * 2
    )
    rooms = st.lists(st.integers(0, 2), min_size=3, max_size=3).map(
        lambda demands: Cumulative(2, tuple(zip(KEYS, demands, strict=True)))
    )
    deliveries = st.builds(
        Delivery,
        some_keys.filter(bool).map(lambda keys: tuple((key, len(keys) - 1) for key in keys)),
        st.none() | st.integers(0, 6),
        st.integers(0, 5),
        st.integers(0, 2),
    )
    return Model(
        horizon,
        tuple(draw(tasks(key, horizon)) for key in KEYS),
        tuple(draw(st.lists(lags, max_size=2))),
        tuple(draw(st.lists(st.builds(Total, st.just(("a", "b")), st.integers(2, 4)), max_size=1))),
        tuple(draw(st.lists(st.builds(Unary, some_keys, spans(horizon)), max_size=2))),
        tuple(draw(st.lists(rooms, max_size=1))),
        tuple(draw(st.lists(st.builds(Exclusive, st.tuples(some_keys, some_keys)), max_size=1))),
        tuple(draw(st.lists(deliveries, max_size=2))),
    )


@settings(max_examples=50)
@given(models())
def test_no_placing_is_better_than_the_one_answered(model: Model) -> None:
    answer, best = solve(model, limits=ONE), best_of_all(model)
    if best is None:
        assert answer.status == Status.IMPOSSIBLE
        return
    placed = {key: (answer.starts[key], answer.sizes[key]) for key in KEYS}
    assert list(breaches(model, placed)) == []
    assert answer.status == Status.PROVED
    assert answer.cost == answer.bound == cost(model, placed) == best


def crowd(count: int, horizon: int = 200) -> Model:
    """So many stages of three sittings each for one pair of hands, too many to prove at once."""
    tasks = tuple(
        Task(f"{n}/{k}", 2, 6, may_be_empty=k == 2) for n in range(count) for k in range(3)
    )
    night = tuple((first, first + 6) for first in range(10, horizon, 16))
    return Model(
        horizon,
        tasks,
        tuple(
            Lag(f"{n}/{k}", f"{n}/{k + 1}", 1 + n % 3, from_end=True)
            for n in range(count)
            for k in range(2)
        ),
        tuple(Total(tuple(f"{n}/{k}" for k in range(3)), 7 + n % 5) for n in range(count)),
        (Unary(tuple(task.key for task in tasks), night),),
        deliveries=tuple(
            Delivery(((f"{n}/2", 3),), 15 * (count - n), 20 + n) for n in range(count)
        ),
    )


def test_the_same_model_has_the_same_answer_each_time() -> None:
    model, limits = crowd(7), Limits(effort=0.1)
    first = solve(model, limits=limits)
    assert first.status == Status.FOUND
    assert not first.cut_short
    assert first.bound < first.cost
    for _ in range(2):
        assert solve(model, limits=limits) == first


def test_a_hint_is_never_worsened() -> None:
    model = crowd(7)
    found = solve(model, limits=Limits(effort=0.1))
    hint = {key: (start, found.sizes[key]) for key, start in found.starts.items()}
    again = solve(model, limits=Limits(effort=0.05, presolve=False), hint=hint)
    assert again.cost is not None
    assert again.cost <= found.cost


def test_progress_tells_ever_better_costs_and_bounds_and_a_cancelled_search_says_so() -> None:
    told: list[tuple[int | None, int]] = []
    answer = solve(
        crowd(9),
        limits=Limits(effort=1000),
        progress=lambda best, bound: told.append((best, bound)),
        cancel=lambda: any(best is not None for best, _ in told),
    )
    assert answer.status == Status.FOUND
    assert answer.cut_short
    costs = [best for best, _ in told if best is not None]
    assert costs == sorted(costs, reverse=True)
    assert [bound for _, bound in told] == sorted(bound for _, bound in told)
    assert answer.cost == costs[-1]


def test_the_clock_is_only_a_net_and_says_when_it_caught() -> None:
    answer = solve(crowd(9), limits=Limits(effort=1000, seconds=0.3))
    assert answer.cut_short
    whole = solve(Model(3, (Task("a", 1, 1),), deliveries=(Delivery((("a", 0),)),)), limits=ONE)
    assert (whole.cost, whole.cut_short) == (1, False)


def test_work_is_cut_around_a_lunch_it_may_not_bridge() -> None:
    morning, afternoon = Task("morning", 2, 6), Task("afternoon", 2, 6)
    model = Model(
        12,
        (morning, afternoon),
        (Lag("morning", "afternoon", 0, from_end=True),),
        (Total(("morning", "afternoon"), 7),),
        (Unary(("morning", "afternoon"), ((4, 5),)),),
        deliveries=(makespan((morning, afternoon)),),
    )
    answer = solve(model, limits=ONE)
    assert answer.starts == {"morning": 0, "afternoon": 5}
    assert answer.sizes == {"morning": 4, "afternoon": 3}


@pytest.mark.parametrize("dry", [None, 0], ids=["each alone", "one after another"])
def test_a_face_is_left_alone_while_the_other_is_wet(dry: int | None) -> None:
    # Two coats on the front, wet for 3 each, an hour apart at least; one of 2 on the back.
    front, again, back = Task("front", 3, 3), Task("again", 3, 3), Task("back", 2, 2)
    model = Model(
        9,
        (front, again, back),
        (Lag("front", "again", dry if dry is None else 1, 2, from_end=True),),
        exclusive=(Exclusive((("front", "again"), ("back",))),),
        deliveries=(makespan((front, again, back)),),
    )
    answer = solve(model, limits=ONE)
    placed = {key: (start, answer.sizes[key]) for key, start in answer.starts.items()}
    assert list(breaches(model, placed)) == []
    assert answer.cost == best_of_all(model)


def test_a_task_with_nowhere_to_start_is_impossible_at_once() -> None:
    assert solve(Model(4, (Task("a", 5, 5),))).status == Status.IMPOSSIBLE
    shut = Unary(("a",), ((0, 3), (4, 6)))
    assert solve(Model(6, (Task("a", 2, 2),), unary=(shut,))).status == Status.IMPOSSIBLE


@pytest.mark.parametrize(
    ("make", "words"),
    [
        (lambda: Task("", 1, 1), "needs a key"),
        (lambda: Task("gesso", 2, 1), "'gesso': its size is 2 to 1"),
        (lambda: Task("gesso", 1, 1, ((3, 3),)), "'gesso': a span of starts"),
        (lambda: Task("gesso", 1, 1, start=-1), "before the first step"),
        (lambda: Unary(("a",), ((3, 3),)), "closed span must end"),
        (lambda: Model(9, (Task("a", 1, 1), Task("a", 1, 1))), "the same key"),
        (lambda: Model(9, (Task("a", 1, 1),), (Lag("a", "b", 1),)), "Not a task: b"),
        (
            lambda: Model(9, (Task("a", 1, 1),), deliveries=(Delivery((("a", 0),), finish=-1),)),
            "weights cannot be below nothing",
        ),
        (
            lambda: Model(9, (Task("a", 1, 1),), cumulative=(Cumulative(2, (("a", -1),)),)),
            "demand cannot be below nothing",
        ),
    ],
)
def test_a_model_that_makes_no_sense_is_refused_in_words(make, words: str) -> None:
    with pytest.raises(ValueError, match=words):
        make()
