"""When the work counts as another than was woven, and when only the clock went on."""

from datetime import timedelta

import pytest

from jobs.domain.work import start_sitting
from schedule.domain.inputs import digest_of
from schedule.domain.problem import build_problem
from tests.cast import agreed_panel

QUARTER = timedelta(minutes=15)


@pytest.mark.parametrize(
    "step", [("glaze", "glaze", 1, "through-dry"), ("first-oil", "oil", 1, "touch-dry")]
)
def test_a_coat_at_work_is_the_same_work_as_its_minutes_grow_less(step, anna, clock):
    """A glaze is laid unbroken: its one sitting grows shorter with what is left."""
    panel = agreed_panel(anna.studio, steps=(step,), width=6000)
    start_sitting(panel.stages.get(), person=anna, at=clock.now)
    lengths, digests = set(), set()
    for _ in range(4):
        asked = build_problem(anna.studio, now=clock.now)
        lengths.add(asked.problem.panels[0].tasks[0].minutes)
        digests.add(digest_of(asked))
        clock.now += QUARTER
    assert len(lengths) == 4
    assert len(digests) == 1
