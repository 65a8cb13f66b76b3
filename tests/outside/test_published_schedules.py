"""The exact layer against optima in print, and against trying every order.

Optima, all from memory: Fisher and Thompson's 6 x 6 shop 55; Lawrence's LA01 666; PSPLIB's J301_1
43 (Kolisch and Sprecher 1997); Carlier's example 50 (1982); Pinedo's example 3.4.5 a total
tardiness of 370. The two shops without waits, problems of least and greatest lags (RCPSP/max), 73
and 971: Mascis and Pacciarelli (2002).
"""

from datetime import UTC, datetime, timedelta
from itertools import pairwise, permutations
from pathlib import Path

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from schedule.engine.bounds import bound
from schedule.engine.calendar import Window
from schedule.engine.cp.model import Delivery, Lag, Model, Task, Unary
from schedule.engine.cp.solve import Limits, Status, solve
from schedule.engine.one_machine import least_cost
from schedule.engine.problem import Commission, Gate, Panel, Person, Problem
from schedule.engine.problem import Task as Stage
from tests.outside import instances
from tests.outside.project_scheduling import from_file, makespan, project, shop
from tests.schedule.engine.cp.checked import breaches

LIMITS = Limits(effort=5.0)


@pytest.mark.parametrize(
    ("model", "optimum"),
    [
        pytest.param(shop(instances.SIX_JOBS_SIX_MACHINES), 55, id="6 x 6 shop"),
        pytest.param(shop(instances.SIX_JOBS_SIX_MACHINES, waits=False), 73, id="without waits"),
        pytest.param(shop(instances.TEN_JOBS_FIVE_MACHINES), 666, id="10 x 5 shop"),
        pytest.param(
            shop(instances.TEN_JOBS_FIVE_MACHINES, waits=False), 971, id="10 x 5 without waits"
        ),
        pytest.param(
            project(instances.THIRTY_ACTIVITIES, instances.THIRTY_ACTIVITIES_ROOM), 43, id="project"
        ),
    ],
)
def test_the_optimum_in_print_is_reached_and_proved(model: Model, optimum: int) -> None:
    answer = solve(model, limits=LIMITS)
    assert (answer.status, answer.cost, answer.bound) == (Status.PROVED, optimum, optimum)
    placed = {key: (start, answer.sizes[key]) for key, start in answer.starts.items()}
    assert list(breaches(model, placed)) == []


def one_machine(jobs: list[tuple[int, int]], deliveries: tuple[Delivery, ...]) -> Model:
    """Jobs on one machine, each a head it is not to start before and a time."""
    tasks = tuple(Task(str(n), time, time, ((head, 1000),)) for n, (head, time) in enumerate(jobs))
    hands = Unary(tuple(task.key for task in tasks))
    return Model(1000, tasks, unary=(hands,), deliveries=deliveries)


def test_carliers_one_machine_with_heads_and_tails() -> None:
    jobs = [(head, time) for head, time, _ in instances.HEADS_AND_TAILS]
    ends = tuple((str(n), tail) for n, (_, _, tail) in enumerate(instances.HEADS_AND_TAILS))
    answer = solve(one_machine(jobs, (Delivery(ends),)), limits=LIMITS)
    assert (answer.status, answer.cost) == (Status.PROVED, 50)


def test_pinedos_five_jobs_are_late_by_370_in_all() -> None:
    deliveries = tuple(
        Delivery(((str(n), 0),), due, late=1, finish=0)
        for n, (_, due) in enumerate(instances.FIVE_JOBS_DUE)
    )
    jobs = [(0, time) for time, _ in instances.FIVE_JOBS_DUE]
    answer = solve(one_machine(jobs, deliveries), limits=LIMITS)
    assert (answer.status, answer.cost) == (Status.PROVED, 370)


def test_pinedos_five_jobs_are_late_by_370_in_every_order_tried_at_once() -> None:
    lengths, dues = zip(*instances.FIVE_JOBS_DUE, strict=True)
    done = np.arange(sum(lengths) + 1)
    costs = np.array([np.maximum(0, done - due) for due in dues])
    assert least_cost(lengths, costs).cost == 370


def test_the_bound_does_not_contradict_carliers_optimum() -> None:
    now = datetime(2026, 3, 2, 8, tzinfo=UTC)
    minute = timedelta(minutes=1)
    panels = tuple(
        Panel(
            str(n),
            "all",
            (Stage("job", time, 1, time, Gate("tail", tail * minute)),),
            now + head * minute,
        )
        for n, (head, time, tail) in enumerate(instances.HEADS_AND_TAILS)
    )
    hands = Person("machine", (Window(now, now + 1000 * minute),))
    problem = Problem(now, (hands,), (Commission("all"),), panels, minute)
    # Broken off at will, the jobs take no longer than whole, and not less than the middle four do:
    # from 10 on, 22 of work, 17 of tail.
    assert now + 49 * minute <= bound(problem).last <= now + 50 * minute


@st.composite
def delayed_precedence(draw: st.DrawFn) -> tuple[list[int], dict[tuple[int, int], int]]:
    """Up to five jobs for one pair of hands, some of which must dry before a later one."""
    times = draw(st.lists(st.integers(1, 6), min_size=2, max_size=5))
    pairs = [(one, two) for two in range(len(times)) for one in range(two)]
    waits = draw(st.dictionaries(st.sampled_from(pairs), st.integers(0, 12), max_size=6))
    return times, waits


def shortest_by_trying(times: list[int], waits: dict[tuple[int, int], int]) -> int:
    """The least makespan of one machine with delayed precedence: every order, each set leftmost."""
    spans = []
    for order in permutations(range(len(times))):
        place = {job: n for n, job in enumerate(order)}
        if any(place[one] > place[two] for one, two in waits):
            continue
        over = {-1: 0}
        for before, job in pairwise((-1, *order)):
            dry = [over[one] + wait for (one, two), wait in waits.items() if two == job]
            over[job] = max([over[before], *dry]) + times[job]
        spans.append(max(over.values()))
    return min(spans)


@given(delayed_precedence())
def test_one_machine_with_drying_between_its_jobs_is_as_short_as_any_order_of_them(
    problem: tuple[list[int], dict[tuple[int, int], int]],
) -> None:
    times, waits = problem
    tasks = tuple(Task(str(n), time, time) for n, time in enumerate(times))
    model = Model(
        sum(times) + sum(waits.values()),
        tasks,
        tuple(Lag(str(one), str(two), wait, from_end=True) for (one, two), wait in waits.items()),
        unary=(Unary(tuple(task.key for task in tasks)),),
        deliveries=(makespan(tasks),),
    )
    answer = solve(model, limits=LIMITS)
    assert answer.status == Status.PROVED
    assert answer.cost == shortest_by_trying(times, waits)


SCHEDULE_FILE = """
3 1 0 0
0 1 3 1 2 3 [0] [0] [0]
1 1 2 2 4 [4] [3]
2 1 2 1 4 [-6] [2]
3 1 1 4 [5]
4 1 0
0 1 0 0
1 1 3 1
2 1 2 1
3 1 5 1
4 1 0 0
1
"""
"""Made for this test: three activities of 3, 2 and 5 for one place, the second starting 4 to 6
after the first."""


def test_a_file_of_a_benchmark_set_is_read_with_lags_of_either_sign(tmp_path: Path) -> None:
    path = tmp_path / "made.sch"
    path.write_text(SCHEDULE_FILE.strip())
    # Alone the first two take 6; the third, of 5, fits neither between nor beside: 5 + 6.
    answer = solve(from_file(path), limits=LIMITS)
    assert (answer.status, answer.cost) == (Status.PROVED, 11)


def test_lags_that_go_round_in_a_ring_are_found_impossible(tmp_path: Path) -> None:
    # The second starts at least 4 after the first, and the first no more than 2 before the second.
    path = tmp_path / "ring.sch"
    path.write_text(SCHEDULE_FILE.strip().replace("[-6]", "[-2]"))
    assert solve(from_file(path), limits=LIMITS).status == Status.IMPOSSIBLE


def test_a_project_is_the_same_read_from_a_file_of_the_benchmark_set(tmp_path: Path) -> None:
    rows = [line.split(":") for line in instances.THIRTY_ACTIVITIES.split("\n")[1:-1]]
    numbers = [left.split() for left, _ in rows]
    after = [right.split() for _, right in rows]
    star = "*" * 72
    lines = [
        star,
        "PRECEDENCE RELATIONS:",
        "jobnr. #modes #successors successors",
        *(
            " ".join([row[0], "1", str(len(to)), *to])
            for row, to in zip(numbers, after, strict=True)
        ),
        star,
        "REQUESTS/DURATIONS:",
        "jobnr. mode duration R 1 R 2 R 3 R 4",
        "-" * 72,
        *(" ".join([row[0], "1", *row[1:]]) for row in numbers),
        star,
        "RESOURCEAVAILABILITIES:",
        "R 1 R 2 R 3 R 4",
        " ".join(map(str, instances.THIRTY_ACTIVITIES_ROOM)),
        star,
    ]
    path = tmp_path / "j301_1.sm"
    path.write_text("\n".join(lines))
    answer = solve(from_file(path), limits=LIMITS)
    assert (answer.status, answer.cost) == (Status.PROVED, 43)
