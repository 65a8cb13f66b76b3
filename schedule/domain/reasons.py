"""Why a commission is ready when it is: the deciding chain of the plan, in plain sentences."""

from collections.abc import Iterator
from dataclasses import dataclass, replace
from datetime import datetime, timedelta

from jobs.models import Commission
from jobs.paint.gates import GATES
from schedule.domain.problem import StudioProblem, build_problem
from schedule.domain.rows import kept_rows, plan_in
from schedule.engine.explanation import Cause, Link, why_then
from schedule.engine.plan import Finish
from schedule.models import PlannedFinish, Programme

OVERNIGHT = timedelta(hours=16)
"""Closed hours shorter than this are a night, which nobody needs told."""


@dataclass(frozen=True)
class Reason:
    """A stretch of the chain: what happens from `since` to `until` (aware UTC), in words."""

    cause: str
    since: datetime
    until: datetime
    words: str


def reasons_for(commission: Commission, programme: Programme) -> list[Reason]:
    """Return why a commission of the programme is ready when it is, in the order of time."""
    studio = commission.studio
    asked = build_problem(studio, now=programme.made_at)
    plan = plan_in(kept_rows(studio), asked)
    rows = PlannedFinish.objects.of(studio).filter(commission=commission)
    finish = rows.values_list("finish", flat=True).first()
    if plan is None or finish is None:
        return []
    key = str(commission.pk)
    plan = replace(plan, finishes=(Finish(key, finish, timedelta(0)),))
    return [_told(link, asked, key) for link in _joined(why_then(asked.problem, plan, key))]


def _joined(links: tuple[Link, ...]) -> list[Link]:
    """Join the sittings on one coat, leave out the nights and what takes no time."""
    joined: list[Link] = []
    for link in links:
        if link.until <= link.since:
            continue
        if link.cause == Cause.CLOSED and link.until - link.since < OVERNIGHT:
            continue
        last = joined[-1] if joined else None
        same = last and (last.cause, last.panel, last.task) == (link.cause, link.panel, link.task)
        if same and link.cause == Cause.SITTING:
            joined[-1] = replace(last, until=link.until)
        else:
            joined.append(link)
    return joined


def _told(link: Link, asked: StudioProblem, commission: str) -> Reason:
    return Reason(link.cause, link.since, link.until, " ".join(_words(link, asked, commission)))


def _words(link: Link, asked: StudioProblem, commission: str) -> Iterator[str]:
    panel = asked.panels[link.panel]
    coat = ""
    if link.task:
        stage, number = asked.stage_and_coat(link.task)
        coat = f"{stage.coat_name(number)} on {panel.title}"
    if link.cause == Cause.SITTING:
        yield coat
        if str(panel.commission.pk) != commission:
            yield f"for ‘{panel.commission.title}’, which goes first"
    elif link.cause == Cause.WAIT:
        kind = asked_kind(asked, link)
        yield f"{coat} dries until it is {GATES[kind].label}" if kind else f"{coat} dries"
    elif link.cause == Cause.START:
        yield f"{panel.title} cannot begin sooner" if not coat else f"{coat} cannot begin sooner"
    elif link.cause == Cause.CLOSED:
        yield "no working hours"
    elif link.cause == Cause.TURNING:
        yield f"another part is wet, and in the way of {coat}"
    else:
        yield f"{coat} waits its turn: it is fixed for then, or other work goes better before"


def asked_kind(asked: StudioProblem, link: Link) -> str:
    """Return the kind of gate that a link waits for, "" for none."""
    for panel in asked.problem.panels:
        for task in panel.tasks:
            if (panel.key, task.key) == (link.panel, link.task) and task.gate:
                return task.gate.kind
    return ""
