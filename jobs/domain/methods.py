"""Methods: from a sheet to a panel's own stages, and changing their order."""

from collections.abc import Sequence

from django.db import transaction

from jobs.labour.methods import method_sheets
from jobs.labour.stages import stage_kind
from jobs.models import MethodSheet, Panel, SheetStage, Stage
from jobs.models.steps import StepFields
from jobs.paint.binders import binder
from jobs.paint.worked_in import why_unfit
from studio.domain.records import keep_record
from studio.models import Studio
from studio.refusal import Refused
from studio.signals import announce_change

STEP_FIELDS = [field.name for field in StepFields._meta.get_fields()]


@transaction.atomic
def add_shipped_sheets(studio: Studio) -> list[MethodSheet]:
    """Give the studio the shipped method sheets it does not have yet, by name."""
    have = set(studio.sheets.values_list("name", flat=True))
    methods = [method for method in method_sheets().values() if method.name not in have]
    made = MethodSheet.objects.bulk_create(
        MethodSheet(studio=studio, name=method.name, notes=method.note) for method in methods
    )
    SheetStage.objects.bulk_create(
        SheetStage(
            sheet=sheet,
            position=position,
            kind=step.kind.key,
            name=step.kind.name,
            binder=step.binder,
            coats=step.coats,
            gate=step.gate,
        )
        for sheet, method in zip(made, methods, strict=True)
        for position, step in enumerate(method.stages)
    )
    return made


@transaction.atomic
def give_method(panel: Panel, *, sheet: MethodSheet) -> None:
    """Replace the panel's stages by a copy of the sheet's.

    Raises Refused where work is logged on the old ones, or the sheet is empty.
    """
    if reason := panel.commission.why_work_kept(panel=panel):
        raise Refused(reason, "sheet")
    steps = list(sheet.stages.all())
    if not steps:
        raise Refused(f"‘{sheet.name}’ has no stages yet. Add some, or choose another.", "sheet")
    panel.stages.all().delete()
    Stage.objects.bulk_create(
        Stage(panel=panel, **{name: getattr(step, name) for name in STEP_FIELDS}) for step in steps
    )
    announce_change(panel.owner)


@transaction.atomic
def keep_step(step: Stage | SheetStage, *, seen_version: int | None = None) -> Stage | SheetStage:
    """Save a stage; a new one goes where its kind of work usually stands.

    Raises Refused where logged coats would vanish, or the medium does not go into the paint.
    """
    if reason := why_unfit(step.medium, binder(step.binder)):
        raise Refused(reason, "medium")
    if not step.pk:
        _make_room(step)
    elif isinstance(step, Stage) and step.coats < step.coats_done:
        raise Refused(f"{step.coats_done} coats are on it already.", "coats")
    if not step.name:
        step.name = stage_kind(step.kind).name
    return keep_record(step, seen_version=seen_version)


@transaction.atomic
def move_step(step: Stage | SheetStage, *, up: bool) -> None:
    """Swap a stage with its neighbour. Raises Refused where worked stages would change order."""
    steps = list(siblings(step).select_for_update())
    here = next(i for i, other in enumerate(steps) if other.pk == step.pk)
    there = here - 1 if up else here + 1
    if not 0 <= there < len(steps):
        return
    if any(isinstance(s, Stage) and s.sittings.exists() for s in (steps[here], steps[there])):
        raise Refused("Work is logged on one of the two: what is painted cannot change places.")
    steps[here], steps[there] = steps[there], steps[here]
    _number(steps)
    announce_change(step.owner)


def _make_room(new: Stage | SheetStage) -> None:
    """Put a new stage before the first that usually comes later and has no work logged on it."""
    steps = list(siblings(new).select_for_update())
    steps.insert(usual_place(steps, new), new)
    _number(steps)


def usual_place(steps: Sequence[Stage | SheetStage], new: Stage | SheetStage) -> int:
    """Return where among `steps` a new stage usually stands, behind what is worked on already."""
    return next(
        (
            place
            for place, other in enumerate(steps)
            if other.sort.order > new.sort.order and not other.why_kept()
        ),
        len(steps),
    )


def _number(steps: list[Stage] | list[SheetStage]) -> None:
    """Give stages the positions they stand at; a new one is saved by who made it."""
    for position, step in enumerate(steps):
        if step.position == position:
            continue
        step.position = position
        if step.pk:
            type(step).objects.filter(pk=step.pk).update(position=position)


def siblings(step: Stage | SheetStage):
    """Return the rows a stage stands among, in order."""
    return step.panel.stages.all() if isinstance(step, Stage) else step.sheet.stages.all()
