"""How close to the best a plan comes: watched on two small studios, measured in the benchmark."""

import pytest

from schedule.engine.search import search
from tests.benchmarks.studios import full_studio, studio


@pytest.mark.parametrize(("made", "most"), [(studio, 0.01), (full_studio, 0.05)])
def test_one_commission_is_planned_close_to_its_bound(made, most: float) -> None:
    # At two hundred steps: see the benchmark for what longer searches come to.
    answer = search(made(1, seed=3), steps=200)
    assert answer.gap is not None
    assert answer.gap.part <= most
    assert answer.score.cuts <= 0.25 * len(answer.plan.sittings)
