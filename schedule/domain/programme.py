"""The programme: made, kept, and made anew whenever the work changes."""

import logging
from collections.abc import Callable, Iterable
from datetime import datetime, timedelta

from django.db import transaction
from django.db.models import Model

from jobs.models import Stage
from jobs.paint.gates import GATES
from schedule.domain.pins import with_pins
from schedule.domain.problem import StudioProblem, build_problem
from schedule.domain.reminders import set_reminders
from schedule.engine import plan as planned
from schedule.engine.judge import faults
from schedule.engine.plan import Plan
from schedule.engine.planner import make_plan
from schedule.models import PlannedFinish, PlannedGate, PlannedSitting, Programme
from studio.domain.records import hold_studio
from studio.models import Studio

STALE_AFTER = timedelta(minutes=15)
"""A programme older than this is made anew before it is shown: the grain of a plan."""
KEEP_DROPPED = timedelta(days=30)
"""How long a cancelled row stays in the calendar feed, so that calendars learn of it."""


UNPLANNED = (
    "The last change could not be planned, so the programme is the one from before it. "
    "Your log is safe. Whoever keeps the app running finds the reason in its log."
)

UNTOLD = (
    "The reminders of what dries could not be made anew. Your log is safe. Whoever keeps the app "
    "running finds the reason in its log."
)

log = logging.getLogger(__name__)


def fresh_programme(studio: Studio, *, now: datetime) -> Programme:
    """Return the studio's programme, made anew where time has passed it by."""
    kept = Programme.objects.of(studio).first()
    if kept is None or now - kept.made_at >= STALE_AFTER:
        return plan_studio(studio, now=now)
    return kept


@transaction.atomic
def plan_studio(studio: Studio, *, now: datetime) -> Programme:
    """Plan all agreed work of a studio and store the plan with its reminders.

    A plan that fails, or in which the independent judge finds a fault, is not stored: the old
    one stays, and says so. What she logged, and what is to be told of it, must not hang on the
    planner.
    """
    hold_studio(studio)
    asked = _guarded(studio, "The work", lambda: build_problem(studio, now=now))
    if asked is None:
        return _kept(studio, [UNPLANNED], now)
    told = _guarded(
        studio, "What dries", lambda: set_reminders(studio, asked.gates, now=now) or True
    )
    untold = [] if told else [UNTOLD]
    plan = _sound_plan(asked, studio)
    if plan is None:
        return _kept(studio, [UNPLANNED, *untold], now)
    finishes = {row.commission: row.finish for row in plan.finishes}
    troubles = [asked.told(one, finishes) for one in (*asked.lost_pins, *plan.troubles)]
    _store_sittings(studio, asked, plan, now)
    _store_gates(studio, asked, plan, now)
    _store_finishes(studio, asked, plan)
    return _kept(studio, [*troubles, *untold], now)


def _sound_plan(asked: StudioProblem, studio: Studio) -> Plan | None:
    """Return a plan that passed the judge, or None, with the reason in the log."""

    def judged() -> tuple[Plan, list[str]]:
        plan = make_plan(asked.problem)
        return plan, list(faults(asked.problem, plan))

    plan, found = _guarded(studio, "The work", judged) or (None, [])
    if found:
        log.error("The plan of studio %s is faulty: %s", studio.slug, "; ".join(found))
        return None
    return plan


def _guarded[Found](studio: Studio, what: str, act: Callable[[], Found]) -> Found | None:
    """Return what `act` found, or None where it failed: the reason is in the log, no more."""
    try:
        # A savepoint: what failed halfway leaves nothing behind, and her log goes on.
        with transaction.atomic():
            return act()
    except Exception:
        log.exception("%s of studio %s could not be planned", what, studio.slug)
        return None


def _kept(studio: Studio, troubles: list[str], now: datetime) -> Programme:
    made = {"made_at": now, "troubles": troubles}
    programme, _ = Programme.objects.update_or_create(studio=studio, defaults=made)
    return programme


def _store_sittings(studio: Studio, asked: StudioProblem, plan: Plan, now: datetime) -> None:
    parts: dict[str, int] = {}
    wanted = {}
    for sitting in plan.sittings:
        part = parts.get(sitting.task, 0)
        parts[sitting.task] = part + 1
        stage, coat = asked.stage_and_coat(sitting.task)
        wanted[stage.pk, coat, part] = {
            "person_id": int(sitting.person),
            "start": sitting.start,
            "end": sitting.end,
            "summary": f"{stage.panel.title}: {stage.coat_name(coat)}",
            "description": _at_bench(asked, sitting),
        }
    _store(studio, PlannedSitting, wanted, lambda row: (row.stage_id, row.coat, row.part), now)


def _at_bench(asked: StudioProblem, sitting: planned.PlannedSitting) -> str:
    """Return what a calendar is told of a sitting."""
    fixed = ", as you fixed it" if asked.is_fixed(sitting) else ""
    return f"{asked.people[sitting.person].name} at the bench{fixed}"


def _store_gates(studio: Studio, asked: StudioProblem, plan: Plan, now: datetime) -> None:
    ends = {}
    for sitting in plan.sittings:
        ends[sitting.task] = max(sitting.end, ends.get(sitting.task, sitting.end))
    wanted = {}
    for gate in plan.gates:
        stage, coat = asked.stage_and_coat(gate.task)
        wanted[stage.pk, coat] = {
            "kind": gate.kind,
            "since": ends.get(gate.task, gate.opens),
            "opens": gate.opens,
            "likely": None,
            "surely": None,
            **_dry_words(stage, coat, gate.kind),
        }
    for opening in asked.drying:
        wanted[opening.stage.pk, opening.coat] = {
            "kind": opening.kind,
            "since": opening.since,
            "opens": opening.opens,
            "likely": opening.likely,
            "surely": opening.surely,
            **_dry_words(opening.stage, opening.coat, opening.kind),
        }
    _store(studio, PlannedGate, wanted, lambda row: (row.stage_id, row.coat), now)


def _dry_words(stage: Stage, coat: int, kind: str) -> dict[str, str]:
    """Return what a calendar is told of a gate."""
    label = GATES[kind].label
    counted_on = f"{stage.coat_name(coat)} is counted on to be {label}."
    return {
        "summary": f"{stage.panel.title}: {label}",
        "description": f"{counted_on} Try it with a finger first.",
    }


def _store(
    studio: Studio,
    model: type[Model],
    wanted: dict[tuple, dict],
    key_of: Callable[[Model], tuple],
    now: datetime,
) -> None:
    """Bring stored rows in line with the wanted ones, keeping identity and counting moves."""
    kept = {key_of(row): row for row in model.objects.filter(studio=studio)}
    changed, new = [], []
    for key, values in wanted.items():
        row = kept.get(key)
        if row is None:
            names = ("stage_id", "coat", "part")[: len(key)]
            new.append(
                model(studio=studio, moved_at=now, **dict(zip(names, key, strict=True)), **values)
            )
        elif row.dropped_at or any(getattr(row, name) != value for name, value in values.items()):
            for name, value in values.items():
                setattr(row, name, value)
            changed.append(_moved(row, now, dropped_at=None))
    dropped = [
        _moved(row, now, dropped_at=now)
        for key, row in kept.items()
        if key not in wanted and not row.dropped_at
    ]
    model.objects.bulk_create(new)
    fields = ["sequence", "moved_at", "dropped_at", *(next(iter(wanted.values()), {}))]
    model.objects.bulk_update(changed + dropped, [_plain(name) for name in fields])
    model.objects.filter(studio=studio, dropped_at__lt=now - KEEP_DROPPED).delete()


def _moved(row: Model, now: datetime, *, dropped_at: datetime | None) -> Model:
    row.sequence += 1
    row.moved_at = now
    row.dropped_at = dropped_at
    return row


def _plain(name: str) -> str:
    return name.removesuffix("_id")


def _store_finishes(studio: Studio, asked: StudioProblem, plan: Plan) -> None:
    PlannedFinish.objects.filter(studio=studio).exclude(
        commission__in=asked.commissions.values()
    ).delete()
    rows = [
        PlannedFinish(
            studio=studio, commission=asked.commissions[row.commission], finish=row.finish
        )
        for row in plan.finishes
    ]
    PlannedFinish.objects.bulk_create(
        rows, update_conflicts=True, unique_fields=["commission"], update_fields=["finish"]
    )


def planned_sittings(studio: Studio) -> Iterable[PlannedSitting]:
    """Return the sittings of the plan in order, with all that names them and `pin` if fixed."""
    rows = with_pins(PlannedSitting.objects.of(studio).filter(dropped_at=None))
    return rows.select_related("person", "stage__panel__surface__piece__commission")


def planned_gates(studio: Studio) -> Iterable[PlannedGate]:
    """Return the gates of the plan in the order they open, with all that names them."""
    rows = PlannedGate.objects.of(studio).filter(dropped_at=None)
    return rows.select_related("stage__panel__surface__piece__commission")
