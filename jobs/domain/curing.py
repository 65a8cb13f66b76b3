"""When the paint on a panel is as hard as it will become, painted or still planned."""

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import datetime

from jobs.domain.gates import Opening, gate_after
from jobs.domain.workshop import Workshop
from jobs.models import Panel, Stage
from jobs.paint.binders import binder
from jobs.paint.gates import CURED


@dataclass(frozen=True)
class Curing:
    """The cure of a panel: the gate of its last coat, and of a coat beneath that cures later.

    `planned` says that the last coat is not painted yet.
    """

    last: Opening
    beneath: Opening | None
    planned: bool


def films_of(panel: Panel) -> list[Stage]:
    """Return the panel's stages that leave a film, in the order of the method."""
    return [stage for stage in panel.stages.all() if binder(stage.binder).leaves_film]


def curing(
    panel: Panel, workshop: Workshop, *, planned: Mapping[int, datetime] | None = None
) -> Curing | None:
    """Return when a panel is cured, or None where its last coat has no day yet, or there is none.

    `planned` holds when the last coat of a stage is to be finished, by the stage's key; what is
    painted counts from the log. Reads stages with sittings, touch tests and mix.
    """
    films = films_of(panel)
    gates = [_cured(stage, workshop, planned or {}) for stage in films]
    if not gates or not gates[-1]:
        return None
    last = gates[-1]
    later = [gate for gate in gates[:-1] if gate and gate.likely > last.surely]
    deepest = max(later, key=lambda gate: gate.surely, default=None)
    return Curing(last, deepest, planned=not films[-1].done)


def _cured(stage: Stage, workshop: Workshop, planned: Mapping[int, datetime]) -> Opening | None:
    since = stage.coat_ends[stage.coats - 1] if stage.done else planned.get(stage.pk)
    if since is None:
        return None
    return gate_after(stage, stage.coats, since=since, workshop=workshop, kind=CURED.key)
