"""The same studio has the same plan and the same promise in every process."""

import os
import subprocess
import sys
from hashlib import sha256

from schedule.engine.promise.doubt import Doubt
from schedule.engine.promise.outlook import foresee
from schedule.engine.search import search
from tests.benchmarks.studios import full_studio


def digest() -> str:
    """The digest of a re-plan and its outlook."""
    problem = full_studio(2, seed=3)
    old = search(problem, steps=3, bounded=False).plan
    plan = search(problem, steps=12, old=old).plan
    outlook = foresee(problem, plan, Doubt(), scenarios=20)
    return sha256(repr((plan, outlook)).encode()).hexdigest()


def test_two_processes_that_hash_differently_make_one_plan_and_one_promise() -> None:
    runs = [
        subprocess.Popen(
            [sys.executable, "-m", "tests.schedule.engine.test_one_digest"],
            env=os.environ | {"PYTHONHASHSEED": seed},
            stdout=subprocess.PIPE,
            text=True,
        )
        for seed in ("1", "2")
    ]
    found = [run.communicate()[0] for run in runs]
    assert [run.returncode for run in runs] == [0, 0]
    assert found[0] == found[1]
    assert len(found[0]) == 64


if __name__ == "__main__":
    sys.stdout.write(digest())
