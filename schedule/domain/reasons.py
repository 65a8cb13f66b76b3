"""Why a commission is ready when it is: the deciding chain of the plan, in plain sentences."""

from dataclasses import dataclass, replace
from datetime import datetime, timedelta

from jobs.models import Commission, Panel
from jobs.paint.gates import GATES
from schedule.domain.awaited import awaited
from schedule.domain.problem import StudioProblem, build_problem
from schedule.domain.rows import kept_rows, plan_in
from schedule.engine.explanation import Cause, Link, why_then
from schedule.engine.plan import Finish, Plan
from schedule.engine.problem import EPOCH, SLOT
from schedule.models import PlannedFinish, Programme
from studio.formats import show_minutes

OVERNIGHT = timedelta(hours=16)
"""Idle hours shorter than this are a night or a break, which nobody needs told. Common
practice, no source."""
IDLE = (Cause.CLOSED, Cause.SHORT, Cause.CHOICE, Cause.HELD, Cause.SLACK)
WAITING = {
    Cause.CLOSED: "there are no working hours",
    Cause.TURNING: "another part is wet, and in the way of {coat}",
    Cause.SHORT: "{coat} takes {length}, longer than the hours in between leave",
    Cause.TOGETHER: "{coat} waits for hours that hold what is worked into it wet as well",
    Cause.PINNED: "{coat} waits, because you fixed it for then",
    Cause.HELD: (
        "{coat} could have come sooner by itself, but the coming days are left as they were planned"
    ),
    Cause.CHOICE: (
        "{coat} could have come sooner by itself, but the plan has it wait: other days come out "
        "better so, or what is near stays where it was"
    ),
    Cause.SLACK: "there is time to spare: {coat} could come sooner, and the day would be the same",
}


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
    # No sittings are left where all is painted and dries.
    plan = plan_in(kept_rows(studio), asked) or Plan((), (), (), ())
    rows = PlannedFinish.objects.of(studio).filter(commission=commission)
    finish = rows.values_list("finish", flat=True).first()
    if finish is None:
        return []
    key = str(commission.pk)
    plan = replace(plan, finishes=(Finish(key, finish, timedelta(0)),))
    told: list[Reason] = []
    last = None
    for link in _joined(why_then(asked.problem, plan, key)):
        its = last is not None and (last.panel, last.task) == (link.panel, link.task)
        span = (_quarter(link.since), _quarter(link.until))
        told.append(Reason(link.cause, *span, _words(link, asked, key, its=its)))
        last = link
    return told


def why_no_day(commission: Commission) -> str:
    """Return why there is nothing to tell of the day a commission is ready, where there is not."""
    if commission.state == Commission.State.DELIVERED:
        return "It is handed over: there is no day to come."
    if commission.state == Commission.State.DECLINED:
        how = "called off" if commission.accepted_at else "declined"
        return f"It was {how}, so it is not in the programme."
    if not commission.in_hand:
        return "It is not accepted yet, and the programme holds accepted work only."
    if not Panel.objects.filter(surface__piece__commission=commission).exists():
        return "It has no panels yet, so there is nothing to plan."
    return "Not all of it can be planned, so no day is decided: see on the programme why."


def _quarter(moment: datetime) -> datetime:
    """Return the next quarter of an hour: no day at the bench is told by the minute."""
    return moment + (EPOCH - moment) % SLOT


def _joined(links: tuple[Link, ...]) -> list[Link]:
    """Join the sittings on one coat, leave out the nights and what takes no time."""
    joined: list[Link] = []
    for link in links:
        if link.until <= link.since:
            continue
        idle = link.cause in IDLE
        if idle and link.until - link.since < OVERNIGHT:
            continue
        last = joined[-1] if joined else None
        same = last and (last.cause, last.panel, last.task) == (link.cause, link.panel, link.task)
        if same and link.cause == Cause.SITTING:
            joined[-1] = replace(last, until=link.until)
        else:
            joined.append(link)
    return joined


def _words(link: Link, asked: StudioProblem, commission: str, *, its: bool) -> str:
    """Return a link in words; `its` says that the one before it is of the same coat."""
    panel = asked.panels[link.panel]
    other = panel.commission
    hers = str(other.pk) == commission
    where = panel.title if hers else f"{panel.title} (for ‘{other.title}’)"
    coat = where
    if link.task:
        stage, number = asked.stage_and_coat(link.task)
        coat = f"{stage.coat_name(number)} on {where}"
    if link.cause == Cause.SITTING:
        return coat if hers else f"{coat}, which goes first"
    if link.cause == Cause.WAIT:
        return f"{'it' if its else coat} dries until it is {_label(asked, link)}"
    if link.cause == Cause.START:
        under = next((one for one in asked.drying if one.stage.panel_id == panel.pk), None)
        if under and not link.task:
            name = under.stage.coat_name(under.coat)
            return f"{name} on {where} dries until it is {under.label}"
        comes = awaited(asked, link.panel, link.task, link.until)
        return f"{coat} waits: {comes}" if comes else f"{coat} cannot begin sooner"
    return WAITING[link.cause].format(coat=coat, length=show_minutes(link.minutes))


def _label(asked: StudioProblem, link: Link) -> str:
    """Return what the coat is once the gate opens that a link waits for."""
    kinds = (
        task.gate.kind
        for panel in asked.problem.panels
        for task in panel.tasks
        if (panel.key, task.key) == (link.panel, link.task) and task.gate
    )
    return GATES[next(kinds)].label
