"""What the layering rules say of a method, of a panel as it lies, and what was overruled."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from datetime import datetime, timedelta
from itertools import groupby

from django.db import transaction

from jobs.domain.gates import finished_coats, gate_after, gate_kind, next_stage
from jobs.domain.methods import siblings, usual_place
from jobs.domain.workshop import Workshop, parts, untaught_workshop
from jobs.models import Commission, Overruling, Panel, SheetStage, Stage
from jobs.paint.drying import pace_of
from jobs.paint.gates import GATES, NO_WAIT, TOUCH_DRY
from jobs.paint.layers import REFUSED, Finding, Layer, Verdict, findings, judge, open_share
from studio.models import Person, Studio
from studio.refusal import Refused

Judged = tuple[Stage | SheetStage, Finding]
LONGEST_REASON = 300


def method_findings(
    steps: Sequence[Stage | SheetStage],
    *,
    studio: Studio,
    workshop: Workshop | None = None,
) -> list[Judged]:
    """Return what the layering rules say of a method, as (stage, finding) in order.

    On a panel its piece counts too: what it is made of, what lies on it already, and what it is
    for. The studio's own films, hours and drying classes count; give its `workshop` for many
    panels.
    """
    workshop = workshop or untaught_workshop(studio)
    piece = next((step.panel.surface.piece for step in steps if isinstance(step, Stage)), None)
    found = findings(
        [_layer(step, workshop) for step in steps],
        climate=workshop.climate,
        substrate=piece.material if piece else "",
        finish=piece.finish if piece else "",
        use=piece.use if piece else "",
    )
    return [(steps[one.position], one) for one in found]


def findings_as_typed(step: Stage | SheetStage, *, studio: Studio) -> list[Judged]:
    """Return what the rules would say with a stage as it stands in memory; nothing is saved.

    That is all that concerns the stage itself, and what it newly brings upon others. A new
    stage is judged where it would be put.
    """
    kept = list(siblings(step))
    if isinstance(step, Stage):
        kept = list(siblings(step).select_related("mix").prefetch_related("mix__parts"))
    typed = [step if other.pk == step.pk else other for other in kept]
    if not step.pk:
        typed.insert(usual_place(kept, step), step)
    workshop = untaught_workshop(studio)
    before = {
        (judged.pk, one.rule)
        for judged, one in method_findings(kept, studio=studio, workshop=workshop)
    }
    return [
        (judged, one)
        for judged, one in method_findings(typed, studio=studio, workshop=workshop)
        if judged is step or (judged.pk, one.rule) not in before
    ]


def verdict_now(panel: Panel, *, now: datetime, workshop: Workshop) -> Verdict | None:
    """Return what the rules say of the panel's next stage, begun now on what lies there.

    Its instants are told in the studio's time zone. None where nothing is finished yet, or
    everything is. Reads what `current_gate` reads, and the piece.
    """
    lain, coming = finished_coats(panel), next_stage(panel)
    if not lain or coming is None:
        return None
    stack, dries_at = [], {}
    for stage, coats in groupby(lain, key=lambda one: one[-1]):
        *_, (end, _, coat, _) = several = list(coats)
        gate = gate_kind(stage, coat)
        layer = replace(_layer(stage, workshop), coats=len(several), gate=gate)
        if layer.paint.leaves_film:
            dries_at = _dries_at(stage, coat, since=end, workshop=workshop)
        stack.append(layer)
    later = [other for other in panel.stages.all() if other.position > coming.position]
    piece = panel.surface.piece
    return judge(
        stack,
        _layer(coming, workshop),
        above=[_layer(other, workshop) for other in later],
        substrate=piece.material,
        finish=piece.finish,
        use=piece.use,
        at=now.astimezone(panel.owner.zone),
        dries_at=dries_at,
        climate=workshop.climate,
    )


def open_for(under: Stage, stage: Stage, workshop: Workshop) -> timedelta | None:
    """Return how long the last coat of a stage stays open for the one worked into it wet.

    It is the time that the checker warns after. None where the method waits for the coat, or it
    is no such work.
    """
    if under.gate != NO_WAIT.key or not (under.leaves_film and stage.leaves_film):
        return None
    share = open_share(_layer(under, workshop), _layer(stage, workshop))
    if share is None:
        return None
    return workshop.wait(under, TOUCH_DRY.key, coat=under.coats).likely * share


def _dries_at(
    stage: Stage, coat: int, *, since: datetime, workshop: Workshop
) -> dict[str, datetime]:
    """Return when a finished coat likely reaches each gate, by its key."""
    gates = {
        kind: gate_after(stage, coat, since=since, workshop=workshop, kind=kind) for kind in GATES
    }
    return {kind: gate.likely if gate else since for kind, gate in gates.items()}


@dataclass(frozen=True)
class Refusal:
    """A stage that a layering rule refuses, and what the rule says."""

    stage: Stage
    finding: Finding

    @property
    def key(self) -> str:
        """Return what tells it apart from others: the stage and the rule."""
        return f"{self.stage.pk}:{self.finding.rule}"

    @property
    def said(self) -> str:
        """Return what the rule says and how to mend it, as the log keeps it."""
        return f"{self.finding.why} {self.finding.mend}"


def standing_refusals(commission: Commission) -> list[Refusal]:
    """Return what the rules refuse on a commission's panels and nobody overruled as it stands."""
    panels = Panel.objects.filter(surface__piece__commission=commission)
    panels = panels.select_related("surface__piece")
    panels = panels.prefetch_related("stages__mix__parts", "stages__overrulings")
    return refusals_on(panels, studio=commission.studio)


def refusals_on(
    panels: Iterable[Panel], *, studio: Studio, workshop: Workshop | None = None
) -> list[Refusal]:
    """Return what the rules refuse on panels and nobody has overruled yet, stage by stage.

    Reads pieces, stages, their mixes and overrulings: fetch them. `workshop` as in
    method_findings.
    """
    workshop = workshop or untaught_workshop(studio)
    found = [
        Refusal(stage, finding)
        for panel in panels
        for stage, finding in method_findings(
            list(panel.stages.all()), studio=studio, workshop=workshop
        )
        if finding.level == REFUSED
    ]
    # A reason was given for what was said then: a stage changed since is another matter.
    return [
        one
        for one in found
        if (one.finding.rule, one.said)
        not in {(row.rule, row.said) for row in one.stage.overrulings.all()}
    ]


def refused_now(panel: Panel, *, now: datetime, workshop: Workshop) -> tuple[Verdict, ...]:
    """Return why the rules refuse the panel's next stage, begun now, each rule once.

    What lies there speaks before what the method says; what was overruled is silent. Reads what
    `verdict_now` reads, and overrulings.
    """
    coming, told = next_stage(panel), verdict_now(panel, now=now, workshop=workshop)
    if coming is None:
        return ()
    said = {}
    overruled = {row.rule for row in coming.overrulings.all()}
    if told and told.level == REFUSED and told.rule not in overruled:
        said[told.rule] = told
    for one in refusals_on([panel], studio=panel.owner, workshop=workshop):
        if one.stage is coming:
            said.setdefault(one.finding.rule, one.finding)
    return tuple(said.values())


@transaction.atomic
def overrule(
    refusals: Iterable[Refusal], *, reason: str, by: Person, at: datetime
) -> list[Overruling]:
    """Write down why refused stages stand all the same; it shows in their panels' logs alone.

    Raises Refused without a reason, or for one too long to keep.
    """
    reason = reason.strip()
    if not reason:
        raise Refused("Say why it is to be done all the same.", "reason")
    if len(reason) > LONGEST_REASON:
        raise Refused(f"At most {LONGEST_REASON} letters.", "reason")
    return Overruling.objects.bulk_create(
        Overruling(
            panel=one.stage.panel,
            stage=one.stage,
            work=one.stage.name,
            rule=one.finding.rule,
            said=one.said,
            reason=reason,
            by=by,
            at=at,
        )
        for one in refusals
    )


def _layer(step: Stage | SheetStage, workshop: Workshop) -> Layer:
    """Return a stage as the layering rules see it; its colour is the mix's or the ground's."""
    mix = step.mix if isinstance(step, Stage) else None
    colour = mix.swatch if mix else ""
    if not colour and isinstance(step, Stage) and step.sort.places_ground:
        colour = step.panel.ground_colour
    return Layer(
        step.binder,
        step.gate,
        step.coats,
        kind=step.kind,
        pigments=tuple(part.pigment for part in mix.parts.all()) if mix else (),
        thickness_um=step.film_um or workshop.films.get(step.binder),
        medium=step.medium,
        colour=colour,
        pace=pace_of(parts(step), workshop.own.classes)
        if mix and isinstance(step, Stage)
        else None,
        lends=workshop.own.binder,
    )
