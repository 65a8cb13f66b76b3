"""What a plan costs, reckoned from its finishes alone."""

from datetime import timedelta
from fractions import Fraction

from schedule.engine.plan import Plan
from schedule.engine.problem import Problem

MINUTE = timedelta(minutes=1)


def price(problem: Problem, plan: Plan, *, late: int) -> Fraction:
    """Weighted minutes late and minutes until over, of the commissions the plan finishes."""
    weights = {commission.key: commission.weight for commission in problem.commissions}
    total = timedelta(0)
    for finish in plan.finishes:
        if finish.finish is not None:
            total += max(finish.finish - problem.now, timedelta(0))
            total += late * weights[finish.commission] * finish.late
    return Fraction(total // timedelta(microseconds=1), MINUTE // timedelta(microseconds=1))
