"""All that is known of one panel, put together for its page."""

from dataclasses import dataclass
from datetime import datetime

from jobs.domain.cautions import panel_cautions
from jobs.domain.gates import Opening, current_gate, next_stage
from jobs.domain.methods import method_findings
from jobs.domain.reckoning import reckon
from jobs.models import Panel, Sitting, Stage, TouchTest
from jobs.paint.cautions import Caution
from jobs.paint.layers import Finding


@dataclass(frozen=True)
class StageRow:
    """A stage with its hands-on minutes, the arithmetic, and what the layering rules say."""

    stage: Stage
    minutes: int
    words: str
    findings: tuple[Finding, ...]
    is_next: bool


@dataclass(frozen=True)
class PanelStory:
    """What the panel's page shows. `log` is the latest first."""

    rows: tuple[StageRow, ...]
    minutes: int
    next_stage: Stage | None
    running: Sitting | None
    gate: Opening | None
    ready: bool
    log: tuple[Sitting | TouchTest, ...]
    cautions: tuple[Caution, ...]


def panel_story(panel: Panel, *, now: datetime) -> PanelStory:
    """Put the panel's story together; the panel comes from `Panel.objects.for_bench()`."""
    stages = list(panel.stages.all())
    coming = next_stage(panel)
    found = method_findings(stages, studio=panel.owner)
    rows = []
    for stage in stages:
        hours = reckon(stage)
        said = tuple(finding for judged, finding in found if judged is stage)
        rows.append(StageRow(stage, hours.minutes, hours.words, said, stage is coming))
    gate = current_gate(panel)
    drying = bool(gate and not gate.open_at(now))
    events = [
        event for stage in stages for event in (*stage.sittings.all(), *stage.touch_tests.all())
    ]
    return PanelStory(
        rows=tuple(rows),
        minutes=sum(row.minutes for row in rows),
        next_stage=coming,
        running=next((stage.running for stage in stages if stage.running), None),
        gate=gate if drying else None,
        ready=bool(coming and not drying and panel.commission.in_hand),
        log=tuple(sorted(events, key=_moment, reverse=True)),
        cautions=panel_cautions(panel),
    )


def _moment(event: Sitting | TouchTest) -> datetime:
    return event.start if isinstance(event, Sitting) else event.at
