"""From the record to the planner's problem: what is left of all agreed work."""

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import UTC, date, datetime, time, timedelta

from django.db.models import Q

from jobs.domain.gates import Opening, current_gate, gate_kind, gate_wait
from jobs.domain.reckoning import minutes_left
from jobs.domain.workshop import Workshop, workshop_of
from jobs.models import Commission, Panel, Stage
from jobs.paint.gates import NO_WAIT
from schedule.engine import problem as engine
from schedule.engine.calendar import WeeklyHours, Window, instant, open_windows
from schedule.engine.lateness import Lateness
from schedule.engine.plan import Trouble, TroubleKind, listed
from schedule.models.programme import days_late
from studio.formats import show_date
from studio.models import Person, Studio

HORIZON = timedelta(days=2 * 366)
"""How far ahead working hours are laid out; work beyond is named as such. No rule of the trade: two
years are more than a studio promises, and longer ones would slow every plan."""


@dataclass(frozen=True)
class StudioProblem:
    """The engine's problem and what its keys stand for; `gates` lie beneath the panels now."""

    problem: engine.Problem
    commissions: dict[str, Commission]
    panels: dict[str, Panel]
    stages: dict[int, Stage]
    people: dict[str, Person]
    gates: tuple[Opening, ...]
    workshop: Workshop

    @property
    def drying(self) -> tuple[Opening, ...]:
        """Return the gates that are still closed."""
        return tuple(gate for gate in self.gates if not gate.open_at(self.problem.now))

    def stage_and_coat(self, task: str) -> tuple[Stage, int]:
        pk, coat = task.split(":")
        return self.stages[int(pk)], int(coat)

    def told(
        self,
        trouble: Trouble,
        finishes: dict[str, datetime | None],
        late: Mapping[str, Lateness] | None = None,
    ) -> str:
        """Return a trouble of the plan in words, things called by their names.

        `finishes` holds when each commission will be ready; lateness is told in days by it, and
        whether it could have been helped by `late`.
        """
        commission = self.commissions.get(trouble.commission)
        if trouble.kind == TroubleKind.LATE:
            why = (late or {}).get(trouble.commission)
            return late_words(commission, finishes[trouble.commission], why)
        panel = self.panels.get(trouble.panel)
        stage, coat = self.stage_and_coat(trouble.task) if trouble.task else (None, 0)
        return trouble.told(
            commission=f"‘{commission.title}’" if commission else "",
            panel=panel.name if panel else "",
            task=stage.coat_name(coat) if stage else "",
            other=self._other(trouble),
            together=listed(self._coat(task) for _, task in trouble.together),
        )

    def _coat(self, task: str) -> str:
        stage, coat = self.stage_and_coat(task)
        return stage.coat_name(coat)

    def _other(self, trouble: Trouble) -> str:
        """Return the coat that a trouble sets against its own, with the panel if it is another."""
        if not trouble.other_task:
            return ""
        stage, coat = self.stage_and_coat(trouble.other_task)
        name = stage.coat_name(coat)
        if trouble.other_panel == trouble.panel:
            return name
        return f"{name} on {self.panels[trouble.other_panel].name}"


def late_words(commission: Commission, finish: datetime, why: Lateness | None = None) -> str:
    """Return how late a commission will be, in days, with both dates, and why as far as known."""
    days = days_late(finish, commission)
    ready = show_date(finish, commission.studio)
    wanted = show_date(commission.wanted, commission.studio)
    name, by = f"‘{commission.title}’", f"{days} day{'s' if days != 1 else ''} late"
    if why and why.hopeless:
        earliest = show_date(why.earliest, commission.studio)
        return (
            f"{name} cannot be ready by {wanted}, even if it were the only one: at the earliest "
            f"{earliest}. As planned, it will be {by}: ready {ready}."
        )
    if why and why.for_others:
        by_itself = show_date(why.by_itself, commission.studio)
        return (
            f"{name} will be {by}, because of other work: ready {ready}, wanted {wanted}. By "
            f"itself it would be ready {by_itself}."
        )
    return f"{name} will be {by}: ready {ready}, wanted {wanted}."


def task_key(stage: Stage, coat: int) -> str:
    return f"{stage.pk}:{coat}"


def build_problem(
    studio: Studio, *, now: datetime, also: Commission | None = None
) -> StudioProblem:
    """Return what is to be planned for a studio at an instant (aware UTC).

    `also` is a commission planned as if it were accepted: a promise before the agreement.
    """
    now = now.astimezone(UTC)
    commissions = {
        str(one.pk): one
        for one in Commission.objects.of(studio).filter(
            Q(state__in=Commission.IN_HAND) | Q(pk=also.pk if also else None)
        )
    }
    rows = Panel.objects.of(studio).for_bench()
    rows = list(rows.filter(surface__piece__commission__in=commissions.values()))
    workshop = workshop_of(studio)
    gates = {panel.pk: current_gate(panel, workshop) for panel in rows}
    at_work = {
        stage.running.person_id for panel in rows for stage in panel.stages.all() if stage.running
    }
    people = {
        str(one.pk): one
        for one in studio.people.all()
        if (one.is_active and one.paints) or one.pk in at_work
    }
    windows = studio_windows(studio, first=now.astimezone(studio.zone).date())
    room = _room(windows)
    problem = engine.Problem(
        now=now,
        people=tuple(engine.Person(key, windows) for key in people),
        commissions=tuple(
            engine.Commission(key, wanted_instant(one)) for key, one in commissions.items()
        ),
        panels=tuple(_panel(panel, gates[panel.pk], now, room, workshop) for panel in rows),
    )
    return StudioProblem(
        problem=problem,
        commissions=commissions,
        panels={str(panel.pk): panel for panel in rows},
        stages={stage.pk: stage for panel in rows for stage in panel.stages.all()},
        people=people,
        gates=tuple(gate for gate in gates.values() if gate),
        workshop=workshop,
    )


def studio_windows(studio: Studio, *, first: date) -> tuple[Window, ...]:
    """Return the studio's open windows from a local day on, days off left out."""
    last = first + HORIZON
    off = {
        row.first + timedelta(days=day)
        for row in studio.days_off.filter(last__gte=first, first__lte=last)
        for day in range((min(row.last, last) - row.first).days + 1)
    }
    hours = [WeeklyHours(row.weekday, row.start, row.end) for row in studio.windows.all()]
    return open_windows(hours, days_off=off, zone=studio.zone, first=first, last=last)


def wanted_instant(commission: Commission) -> datetime | None:
    """Return the end of the wanted day, in UTC: by then it must be dry."""
    if not commission.wanted:
        return None
    return instant(commission.wanted + timedelta(days=1), time(0), commission.studio.zone)


def _panel(
    panel: Panel, gate: Opening | None, now: datetime, room: int, workshop: Workshop
) -> engine.Panel:
    tasks = [
        task
        for stage in panel.stages.all()
        if not stage.done
        for task in _tasks(stage, now, room, workshop)
    ]
    opens = gate.opens.astimezone(UTC) if gate else None
    return engine.Panel(str(panel.pk), str(panel.commission.pk), tuple(tasks), opens)


def _tasks(stage: Stage, now: datetime, room: int, workshop: Workshop) -> list[engine.Task]:
    tasks = []
    left = minutes_left(stage, now=now)
    for coat, minutes in enumerate(left, start=stage.coats_done + 1):
        kind = gate_kind(stage, coat)
        # A cold, damp room can stretch a wait beyond what any programme could count on.
        wait = min(gate_wait(stage, coat, workshop), engine.LONGEST_WAIT)
        running = stage.running if coat == stage.coats_done + 1 else None
        shortest, longest = _sitting_bounds(stage, minutes, room)
        tasks.append(
            engine.Task(
                key=task_key(stage, coat),
                minutes=minutes,
                shortest=shortest,
                longest=longest,
                gate=engine.Gate(kind, wait) if kind != NO_WAIT.key and wait else None,
                begun_by=str(running.person_id) if running else "",
            )
        )
    return tasks


def _sitting_bounds(stage: Stage, minutes: int, room: int) -> tuple[int, int]:
    """Return the shortest and longest sitting on a coat of so many minutes.

    A coat that must be laid in one go is one sitting, where any window has `room` for it.
    """
    if stage.sort.unbroken and minutes <= room:
        return minutes, minutes
    return stage.sort.shortest, stage.sort.longest


def _room(windows: tuple[Window, ...]) -> int:
    """Return the minutes of the longest window, less a slot that may be lost at its edges."""
    longest = max((window.end - window.start for window in windows), default=engine.SLOT)
    return int((longest - engine.SLOT).total_seconds() // 60)
