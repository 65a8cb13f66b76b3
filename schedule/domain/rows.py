"""The plan as rows: read back as a plan, and brought in line with a new one."""

from collections.abc import Callable, Iterable
from dataclasses import dataclass
from datetime import UTC, datetime, timedelta

from django.db.models import Model

from jobs.models import Stage
from jobs.paint.gates import GATES
from schedule.domain.problem import StudioProblem
from schedule.domain.tasks import task_key
from schedule.engine import plan as engine
from schedule.models import PlannedFinish, PlannedGate, PlannedSitting
from studio.models import Studio

KEEP_DROPPED = timedelta(days=30)
"""How long a cancelled row stays in the calendar feed, so that calendars learn of it."""


@dataclass(frozen=True)
class Rows:
    """All sittings and gates kept of a studio's plan, dropped ones too; read once for a change."""

    sittings: tuple[PlannedSitting, ...]
    gates: tuple[PlannedGate, ...]


def kept_rows(studio: Studio) -> Rows:
    """Return the rows of a studio's plan as they are kept."""
    return Rows(
        tuple(PlannedSitting.objects.filter(studio=studio)),
        tuple(PlannedGate.objects.filter(studio=studio)),
    )


def plan_in(rows: Rows, asked: StudioProblem) -> engine.Plan | None:
    """Return the kept plan as far as it is of the work there is; None where nothing is kept.

    It has no finishes and no troubles: what the planner must know of it is what stands where.
    """
    sittings, gates = [], []
    for row in (*rows.sittings, *rows.gates):
        stage = asked.stages.get(row.stage_id)
        if row.dropped_at or stage is None:
            continue
        panel = str(stage.panel_id)
        keys = (task_key(stage, row.coat), panel, _commission_of(asked, panel))
        if isinstance(row, PlannedGate):
            if not row.drying:
                gates.append(engine.PlannedGate(*keys, row.kind, row.opens.astimezone(UTC)))
            continue
        moments = (row.start.astimezone(UTC), row.end.astimezone(UTC))
        sittings.append(engine.PlannedSitting(*keys, str(row.person_id), *moments))
    if not sittings:
        return None
    sittings.sort(key=lambda sat: (sat.start, sat.person, sat.panel, sat.task))
    gates.sort(key=lambda gate: (gate.opens, gate.panel, gate.task))
    return engine.Plan(tuple(sittings), tuple(gates), (), ())


def _commission_of(asked: StudioProblem, panel: str) -> str:
    return str(asked.panels[panel].commission.pk)


def store_plan(
    studio: Studio, asked: StudioProblem, plan: engine.Plan, rows: Rows, now: datetime
) -> None:
    """Bring the rows in line with a plan; `rows` are those kept till now."""
    _store_sittings(studio, asked, plan, rows, now)
    _store_gates(studio, asked, plan, rows, now)
    _store_finishes(studio, asked, plan)


def _store_sittings(
    studio: Studio, asked: StudioProblem, plan: engine.Plan, rows: Rows, now: datetime
) -> None:
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
    _store(
        studio,
        PlannedSitting,
        rows.sittings,
        wanted,
        lambda row: (row.stage_id, row.coat, row.part),
        now,
    )


def _at_bench(asked: StudioProblem, sitting: engine.PlannedSitting) -> str:
    """Return what a calendar is told of a sitting."""
    fixed = ", as you fixed it" if asked.is_fixed(sitting) else ""
    return f"{asked.people[sitting.person].name} at the bench{fixed}"


def _store_gates(
    studio: Studio, asked: StudioProblem, plan: engine.Plan, rows: Rows, now: datetime
) -> None:
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
    _store(studio, PlannedGate, rows.gates, wanted, lambda row: (row.stage_id, row.coat), now)


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
    rows: Iterable[Model],
    wanted: dict[tuple, dict],
    key_of: Callable[[Model], tuple],
    now: datetime,
) -> None:
    """Bring stored rows in line with the wanted ones, keeping identity and counting moves."""
    kept = {key_of(row): row for row in rows}
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


def _store_finishes(studio: Studio, asked: StudioProblem, plan: engine.Plan) -> None:
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
