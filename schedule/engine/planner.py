"""The planner's first plan: the simple rule decoded, in milliseconds."""

from schedule.engine.outcome import express
from schedule.engine.pins import settled
from schedule.engine.plan import Plan
from schedule.engine.problem import Problem
from schedule.engine.rules import wanted_first


def make_plan(problem: Problem) -> Plan:
    """Return a plan for the problem; the same problem always gives the same plan.

    Of what is ready and fits, the commission wanted first goes first (then the weightiest, then
    the panel with the most work and waiting ahead, then by key), as `decoder.decode` says. What
    cannot be planned is named in the troubles, and the rest is planned.
    """
    ground = settled(problem, wanted_first)
    return express(ground.works, ground.run, ground.stops, ground.dropped)
