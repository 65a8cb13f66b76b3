"""The two curves of a belief, and the bars of what was seen."""

import math

import pytest

from jobs.layout.curve import WIDTH, belief
from jobs.paint.learning import posterior, prior_for
from jobs.paint.touch import Observation


def drawn(*seen: Observation):
    told = posterior(seen, prior_for("oil"))
    return belief(told.points, [(one.low, one.high) for one in seen], title="Oil")


def of_role(drawing, role: str):
    return [path for path in drawing.paths if path.role == role]


def across(path) -> list[float]:
    return [move[1] for move in path.moves]


def peak(path) -> float:
    return min(path.moves, key=lambda move: move[2])[1]


def test_without_tests_both_curves_lie_on_each_other() -> None:
    drawing = drawn()
    assert of_role(drawing, "curve-before")[0].moves == of_role(drawing, "curve-after")[0].moves


def test_slow_coats_move_the_second_curve_to_the_right() -> None:
    drawing = drawn(Observation(1.8, 2.1), Observation(1.7, 2.2))
    assert peak(of_role(drawing, "curve-after")[0]) > peak(of_role(drawing, "curve-before")[0])


def test_a_coat_has_an_end_where_a_test_set_one_and_none_where_it_did_not() -> None:
    closed = of_role(drawn(Observation(0.8, 1.2)), "curve-seen")
    still_wet = of_role(drawn(Observation(0.8, math.inf)), "curve-seen")
    assert len(closed) == 3
    assert len(still_wet) == 2
    assert max(across(still_wet[0])) > max(across(closed[0]))


def test_everything_stays_on_the_paper() -> None:
    drawing = drawn(Observation(0, 0.001), Observation(15, 19))
    assert all(0 <= x <= WIDTH for path in drawing.paths for x in across(path) if path.moves)


def test_nothing_to_draw_is_refused() -> None:
    with pytest.raises(ValueError, match="points"):
        belief([], [], title="Oil")
