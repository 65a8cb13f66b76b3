"""The bench: what is under the brush, what is ready, what is drying, what comes next."""

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date, datetime, timedelta

from jobs.domain.cautions import stage_cautions
from jobs.domain.gates import Opening, current_gate, next_stage
from jobs.domain.layering import refused_now
from jobs.domain.reckoning import minutes_left, over_run
from jobs.domain.to_come import ToCome, on_order, still_to_come
from jobs.domain.workshop import Workshop, workshop_of
from jobs.models import Commission, Panel, Sitting, Stage
from jobs.paint.cautions import Caution
from jobs.paint.layers import Verdict
from schedule.domain.programme import planned_sittings
from schedule.domain.reminders import reminder_key
from schedule.models import PlannedSitting, Reminder
from studio.models import Studio


@dataclass(frozen=True)
class BenchRow:
    """A panel at the bench: its next stage and coat, the minutes left of that coat.

    `gate` is the gate beneath, None before the first coat; `drying` says that it is still closed.
    `to_come` is what it waits for from outside, the earliest first.
    `reminder` is the one set or sent for it. `refused` is why the layering rules speak against
    beginning now. `over_run` are the minutes the coat took so far and those reckoned, where it is
    not done and took more.
    """

    panel: Panel
    stage: Stage | None
    coat: int
    minutes: int
    gate: Opening | None
    drying: bool
    reminder: Reminder | None = None
    planned: PlannedSitting | None = None
    refused: tuple[Verdict, ...] = ()
    to_come: tuple[ToCome, ...] = ()
    over_run: tuple[int, int] | None = None

    @property
    def mind(self) -> tuple[Caution, ...]:
        """Return the cautions of the work to do next."""
        return stage_cautions(self.stage) if self.stage else ()

    @property
    def title(self) -> str:
        return self.stage.coat_name(self.coat) if self.stage else ""


@dataclass(frozen=True)
class Bench:
    """All of one studio's bench at one moment."""

    running: tuple[tuple[Sitting, BenchRow], ...]
    ready: tuple[BenchRow, ...]
    drying: tuple[BenchRow, ...]
    to_come: tuple[BenchRow, ...]
    next: tuple[PlannedSitting, ...]
    minutes_today: int
    dry_today: int
    undecided: tuple[Panel, ...]
    without_method: tuple[Panel, ...]
    undelivered: tuple[Reminder, ...]


def bench_of(studio: Studio, *, now: datetime) -> Bench:
    """Return the bench of a studio; the programme must be fresh."""
    panels = Panel.objects.of(studio).for_bench()
    panels = list(panels.filter(surface__piece__commission__state__in=Commission.IN_HAND))
    planned = list(planned_sittings(studio).filter(end__gt=now))
    reminders = list(
        Reminder.objects.of(studio).filter(stage__panel__in=panels).select_related("studio")
    )
    workshop = workshop_of(studio)
    today = now.astimezone(studio.zone).date()
    comes = on_order(studio, today=today)
    rows = [_row(panel, workshop, planned, reminders, now, comes) for panel in panels]
    running = [
        (stage.running, row) for row in rows for stage in row.panel.stages.all() if stage.running
    ]
    at_work = {row.panel.pk for _, row in running}
    resting = [row for row in rows if row.panel.pk not in at_work]
    drying = [row for row in resting if row.drying]
    free = [row for row in resting if row.stage and not row.drying]
    ready = [row for row in free if not row.to_come]
    to_come = [row for row in free if row.to_come]
    return Bench(
        running=tuple(running),
        ready=tuple(sorted(ready, key=lambda row: _turn(row, now))),
        drying=tuple(sorted(drying, key=lambda row: row.gate.opens)),
        to_come=tuple(sorted(to_come, key=lambda row: row.to_come[-1].day)),
        next=tuple(planned[:12]),
        minutes_today=sum(
            row.minutes for row in planned if row.start.astimezone(studio.zone).date() == today
        ),
        dry_today=sum(row.gate.opens.astimezone(studio.zone).date() == today for row in drying),
        undecided=tuple(panel for panel in panels if _waits_for_ground(panel)),
        without_method=tuple(panel for panel in panels if not panel.stages.all()),
        undelivered=tuple(row for row in reminders if row.state == Reminder.State.FAILED),
    )


def _row(
    panel: Panel,
    workshop: Workshop,
    planned: list[PlannedSitting],
    reminders: list[Reminder],
    now: datetime,
    comes: Mapping[str, date],
) -> BenchRow:
    stage, gate = next_stage(panel), current_gate(panel, workshop)
    drying = bool(gate and not gate.open_at(now))
    key = reminder_key(gate) if gate else ""
    today = now.astimezone(panel.owner.zone).date()
    return BenchRow(
        panel=panel,
        stage=stage,
        coat=stage.coats_done + 1 if stage else 0,
        minutes=minutes_left(stage, now=now)[0] if stage else 0,
        gate=gate,
        drying=drying,
        reminder=next((row for row in reminders if row.key == key), None),
        planned=next((row for row in planned if row.stage.panel_id == panel.pk), None),
        # A coat that still dries is refused for being wet, which its row says already.
        refused=() if drying else refused_now(panel, now=now, workshop=workshop),
        to_come=still_to_come(stage, comes, today=today) if stage else (),
        over_run=over_run(stage, now=now) if stage else None,
    )


def _turn(row: BenchRow, now: datetime) -> tuple[datetime, int]:
    """Order the ready panels as the programme takes them up."""
    never = now + timedelta(days=10_000)
    return (row.planned.start if row.planned else never, row.panel.pk)


def _waits_for_ground(panel: Panel) -> bool:
    """Return whether the ground colour is still to be laid and not decided."""
    return not panel.ground_decided and any(
        stage.sort.places_ground and not stage.done for stage in panel.stages.all()
    )
