"""The exact layer against published lists of optima and bounds, where a folder of them is given.

PROJECT_SCHEDULING names the folder: instances of PSPLIB (Kolisch and Sprecher 1997) as .sm files,
of the RCPSP/max sets (Schwindt 1998) as .sch files, and bounds.csv with a line `file,lower,upper`
for each that is to be tried; an `upper` that is empty says that none is possible.
"""

import csv
import os
from pathlib import Path

import pytest

from schedule.engine.cp.solve import Limits, Status, solve
from tests.outside.project_scheduling import from_file
from tests.schedule.engine.cp.checked import breaches

FOLDER = Path(os.environ["PROJECT_SCHEDULING"])
with (FOLDER / "bounds.csv").open(encoding="utf-8", newline="") as listed:
    LISTED = [row for row in csv.reader(listed) if row and row[0] != "file"]


@pytest.mark.parametrize(("name", "lower", "upper"), LISTED, ids=[row[0] for row in LISTED])
def test_no_published_bound_is_contradicted(name: str, lower: str, upper: str) -> None:
    model = from_file(FOLDER / name)
    answer = solve(model, limits=Limits(effort=10.0))
    if not upper:
        assert answer.status in (Status.IMPOSSIBLE, Status.UNKNOWN)
        return
    assert answer.status in (Status.PROVED, Status.FOUND)
    placed = {key: (start, answer.sizes[key]) for key, start in answer.starts.items()}
    assert list(breaches(model, placed)) == []
    assert answer.cost >= int(lower)
    assert answer.bound <= int(upper)
    if answer.status == Status.PROVED:
        assert answer.cost <= int(upper)
