"""All that is known of one panel, put together for its page."""

from dataclasses import dataclass
from datetime import datetime

from jobs.domain.cautions import panel_cautions
from jobs.domain.folding import Notice, alone_among, fold
from jobs.domain.gates import Opening, current_gate, next_stage
from jobs.domain.layering import method_findings, verdict_now
from jobs.domain.reckoning import reckon
from jobs.domain.to_come import ToCome, on_order, still_to_come
from jobs.domain.workshop import OddTests, odd_tests, workshop_of
from jobs.models import Overruling, Panel, Sitting, Stage, TouchTest
from jobs.paint.cautions import Caution
from jobs.paint.layers import ALLOWED, REFUSED, Finding, Verdict
from studio.models import Studio

Event = Sitting | TouchTest | Overruling


@dataclass(frozen=True)
class StageRow:
    """A stage with its hands-on minutes, the arithmetic, and what the layering rules say.

    `alone` are those of the findings that speak of no other stage in the method.
    """

    stage: Stage
    minutes: int
    words: str
    findings: tuple[Finding, ...]
    alone: tuple[Finding, ...]
    is_next: bool


@dataclass(frozen=True)
class PanelStory:
    """What the panel's page shows. `log` is the latest first.

    `verdict` is what the rules say of beginning the next stage now, `loud` whether no other
    part of the page says so already; `worked` is whether sittings or touch tests are logged;
    `odd` is what is strange about some of these tests. `notices` are what the rules say of
    several stages at once; `to_come` is what the next stage waits for from outside.
    """

    rows: tuple[StageRow, ...]
    notices: tuple[Notice, ...]
    minutes: int
    next_stage: Stage | None
    running: Sitting | None
    gate: Opening | None
    ready: bool
    to_come: tuple[ToCome, ...]
    verdict: Verdict | None
    loud: bool
    worked: bool
    log: tuple[Event, ...]
    odd: tuple[OddTests, ...]
    cautions: tuple[Caution, ...]


def panel_story(panel: Panel, *, now: datetime) -> PanelStory:
    """Put the panel's story together; the panel comes from `Panel.objects.for_bench()`."""
    stages = list(panel.stages.all())
    coming = next_stage(panel)
    workshop = workshop_of(panel.owner)
    found = method_findings(stages, studio=panel.owner, workshop=workshop)
    alone = alone_among(found)
    rows = []
    for stage in stages:
        hours = reckon(stage)
        said = tuple(finding for judged, finding in found if judged is stage)
        own = tuple(finding for finding in said if finding in alone)
        rows.append(StageRow(stage, hours.minutes, hours.words, said, own, stage is coming))
    gate = current_gate(panel, workshop)
    drying = bool(gate and not gate.open_at(now))
    running = next((stage.running for stage in stages if stage.running), None)
    verdict = None if running else verdict_now(panel, now=now, workshop=workshop)
    work = [
        event for stage in stages for event in (*stage.sittings.all(), *stage.touch_tests.all())
    ]
    overruled = panel.overrulings.select_related("by")
    return PanelStory(
        rows=tuple(rows),
        notices=tuple(notice for notice in fold(found) if notice.of_several),
        minutes=sum(row.minutes for row in rows),
        next_stage=coming,
        running=running,
        gate=gate if drying else None,
        ready=bool(coming and not drying and panel.commission.in_hand),
        to_come=_waits(coming, panel.owner, now),
        verdict=verdict,
        loud=_is_news(verdict, rows, gate if drying else None),
        worked=bool(work),
        log=tuple(sorted([*work, *overruled], key=_moment, reverse=True)),
        odd=tuple(one for stage in stages for one in odd_tests(stage, workshop)),
        cautions=panel_cautions(panel),
    )


def _waits(coming: Stage | None, studio: Studio, now: datetime) -> tuple[ToCome, ...]:
    today = now.astimezone(studio.zone).date()
    comes = on_order(studio, today=today)
    return still_to_come(coming, comes, today=today) if coming else ()


def _is_news(verdict: Verdict | None, rows: list[StageRow], gate: Opening | None) -> bool:
    """Return whether a verdict deserves a notice beside the next stage and the running gate."""
    if verdict is None or verdict.level == ALLOWED:
        return False
    if gate and verdict.wait_until == gate.likely:
        return False
    said = {one.rule for row in rows if row.is_next for one in row.findings}
    return verdict.level == REFUSED or verdict.rule not in said


def _moment(event: Event) -> datetime:
    return event.start if isinstance(event, Sitting) else event.at
