"""Sittings fixed where they stand or elsewhere, let go, and those that need her eye since."""

from dataclasses import dataclass, replace
from datetime import datetime, timedelta

from django.db import transaction
from django.db.models import Exists, OuterRef, Q

from jobs.domain.gates import show_gate
from jobs.domain.to_come import on_order, still_to_come
from jobs.models import Commission, Stage
from jobs.paint.gates import GATES
from schedule.domain.hours import day_starts
from schedule.domain.pins import not_over
from schedule.domain.problem import StudioProblem, build_problem
from schedule.domain.tasks import task_key
from schedule.engine.calendar import instant
from schedule.engine.planner import make_plan
from schedule.models import Pin, PlannedSitting, Programme
from studio.domain.records import keep_record, remove_record
from studio.formats import local, show_near_day, show_when
from studio.models import DatedHours, DayOff, Studio
from studio.refusal import Refused

DAY = timedelta(days=1)
IN_HAND = Q(stage__panel__surface__piece__commission__state__in=Commission.IN_HAND)
MOVED_ON = "The programme has moved since this page was shown. Look where it stands now."
ALL_FIXED = "No work is left on that coat beside what is done or fixed already."
ELSEWHERE = "It cannot be there, and is planned elsewhere."
NOT_THERE = "The programme cannot keep it there beside the rest of the work. Choose another time."


@transaction.atomic
def fix_sitting(row: PlannedSitting, *, seen: int, now: datetime) -> Pin:
    """Fix a planned sitting where it stands. Raises Refused where it has moved on or begun.

    `seen` is the row's sequence as the page showed it.
    """
    still_there(row)
    if row.sequence != seen:
        raise Refused(MOVED_ON)
    if row.start < now:
        raise Refused("That sitting has begun: what is past is not fixed any more.")
    pin = Pin.objects.filter(stage=row.stage, coat=row.coat, start=row.start).first()
    return pin or keep_pin(Pin.of(row), now=now)


def still_there(row: PlannedSitting) -> None:
    """Raise Refused where a planned sitting has fallen out of the plan: there is none to fix."""
    if row.dropped_at:
        raise Refused(MOVED_ON)


@transaction.atomic
def keep_pin(pin: Pin, *, now: datetime, seen_version: int | None = None) -> Pin:
    """Save a fixed sitting, new or moved.

    Raises Refused, naming the field, for a time that is past, in which another is fixed for the
    same person or on the same panel, or at which no plan can have it; Stale as keep_record does.
    """
    if pin.start < now:
        raise Refused("That is past. Choose a time still to come.", "start")
    others = not_over(pin.studio, now=now).filter(
        IN_HAND, Q(person=pin.person) | Q(stage__panel=pin.stage.panel_id),
        start__lt=pin.end, end__gt=pin.start,
    )  # fmt: skip
    if other := others.exclude(pk=pin.pk).select_related("stage__panel").first():
        when = show_when(other.start, pin.studio, now=now)
        raise Refused(
            f"{other.stage.panel.title}, {other.title.lower()}, is fixed then: {when}. "
            "Choose another time, or let that one go first.",
            "start",
        )
    if reason := why_not_there(pin, now=now):
        raise Refused(reason, "start")
    return keep_record(pin, seen_version=seen_version)


def let_go(pin: Pin) -> None:
    """Leave a sitting to the planner again."""
    remove_record(pin)


def why_not_there(pin: Pin, *, now: datetime) -> str:
    """Return why no plan can have a sitting where it is to be fixed, or "". Nothing is saved."""
    others = not_over(pin.studio, now=now).exclude(pk=pin.pk)
    asked = build_problem(pin.studio, now=now, pins=[*others, pin])
    key = task_key(pin.stage, pin.coat)
    there = (key, str(pin.person_id), pin.start)
    plan = make_plan(asked.problem)
    if any((row.task, row.person, row.start) == there for row in plan.sittings):
        return ""
    if not any((one.task, one.person, one.start) == there for one in asked.problem.pins):
        return ALL_FIXED
    panel = asked.panels[str(pin.stage.panel_id)]
    stage = next(stage for stage in panel.stages.all() if stage.pk == pin.stage_id)
    return _to_come(pin, stage, now) or _beneath(pin, asked, now) or NOT_THERE


def _to_come(pin: Pin, stage: Stage, now: datetime) -> str:
    """Return what is not there yet at the time of a pin, in words, or ""."""
    studio = pin.studio
    today = local(now, studio).date()
    waits = still_to_come(stage, on_order(studio, today=today), today=today)
    return " ".join(
        f"{one.words} {show_near_day(one.day, studio, now=now)}."
        for one in waits
        if day_starts(one.day, studio.zone) > pin.start
    )


def _beneath(pin: Pin, asked: StudioProblem, now: datetime) -> str:
    """Return until when the coat beneath a pin is not dry, as planned without it, or ""."""
    key = task_key(pin.stage, pin.coat)
    free = [one for one in asked.problem.pins if (one.task, one.start) != (key, pin.start)]
    plan = make_plan(replace(asked.problem, pins=tuple(free)))
    panel = next(one for one in asked.problem.panels if one.key == str(pin.stage.panel_id))
    place = next(n for n, task in enumerate(panel.tasks) if task.key == key)
    if not place:
        beneath = next(
            (gate for gate in asked.drying if gate.stage.panel_id == int(panel.key)), None
        )
        if beneath is None:
            return ""
        return _dry_by(pin, beneath.stage.coat_name(beneath.coat), beneath.kind, beneath.opens, now)
    stage, coat = asked.stage_and_coat(panel.tasks[place - 1].key)
    before = panel.tasks[place - 1].key
    for gate in plan.gates:
        if (gate.panel, gate.task) == (panel.key, before):
            return _dry_by(pin, stage.coat_name(coat), gate.kind, gate.opens, now)
    ends = [row.end for row in plan.sittings if (row.panel, row.task) == (panel.key, before)]
    if not ends or max(ends) <= pin.start:
        return ""
    done = show_when(max(ends), pin.studio, now=now)
    return f"{stage.coat_name(coat)} comes before it, and is planned to be done {done}."


def _dry_by(pin: Pin, coat: str, kind: str, opens: datetime, now: datetime) -> str:
    if opens <= pin.start:
        return ""
    by = show_gate(opens, pin.studio, now=now)
    return f"The coat beneath, {coat.lower()}, is counted on to be {GATES[kind].label} by {by}."


@dataclass(frozen=True)
class Amiss:
    """A fixed sitting that needs her eye, and why in a sentence.

    `told` says that the sentence is one of the programme's own troubles.
    """

    pin: Pin
    why: str
    told: bool = False


def pins_amiss(programme: Programme, *, now: datetime) -> list[Amiss]:
    """Return the fixed sittings that the plan does not keep, or that days off came over since."""
    studio = programme.studio
    there = {name: OuterRef(name) for name in ("stage", "coat", "person")}
    when = {"start__gte": OuterRef("start"), "start__lt": OuterRef("end")}
    kept = PlannedSitting.objects.filter(**there, **when, dropped_at=None)
    pins = (
        not_over(studio, now=now)
        .filter(IN_HAND)
        .select_related("stage__panel__surface__piece__commission", "person")
    )
    away = [*studio.days_off.all(), *studio.dated_hours.filter(kind=DatedHours.Kind.AWAY)]
    amiss = []
    for pin in pins.annotate(kept=Exists(kept)):
        told = programme.lost_pins.get(task_key(pin.stage, pin.coat))
        if not pin.kept:
            amiss.append(Amiss(pin, told or ELSEWHERE, bool(told)))
        elif why := _why_away(pin, away, studio):
            amiss.append(Amiss(pin, why))
    return amiss


def _why_away(pin: Pin, away: list[DayOff | DatedHours], studio: Studio) -> str:
    for one in away:
        # What she fixed after she had written down the day off, she fixed knowing it.
        if one.changed_at > pin.changed_at and _falls_on(pin, one, studio):
            reason = one.reason if isinstance(one, DayOff) else one.note
            return (
                f"You are away then{f': {reason}' if reason else ''}. It is planned all the same."
            )
    return ""


def _falls_on(pin: Pin, away: DayOff | DatedHours, studio: Studio) -> bool:
    if isinstance(away, DayOff):
        start = day_starts(away.first, studio.zone)
        end = day_starts(away.last + DAY, studio.zone)
    elif away.person_id in (None, pin.person_id):
        start = instant(away.day, away.start, studio.zone)
        end = instant(away.day, away.end, studio.zone)
    else:
        return False
    return pin.start < end and start < pin.end


def untold(programme: Programme, amiss: list[Amiss]) -> list[str]:
    """Return the programme's troubles less those that are told with a fixed sitting."""
    told = {one.why for one in amiss if one.told}
    return [sentence for sentence in programme.troubles if sentence not in told]
