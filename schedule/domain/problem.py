"""From the record to the planner's problem: what is left of all agreed work."""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from datetime import UTC, date, datetime, timedelta
from itertools import chain

from django.db.models import Q

from jobs.domain.gates import Opening, current_gate
from jobs.domain.workshop import Workshop, workshop_of
from jobs.labour.stages import stage_kinds
from jobs.models import Commission, Panel, Stage, Supply
from schedule.domain.hours import day_starts, windows_of
from schedule.domain.pins import not_over, pinned
from schedule.domain.tasks import Terms, faces_of, longest_sitting, panel_left
from schedule.engine import problem as engine
from schedule.engine.calendar import Window, merged
from schedule.engine.lateness import Lateness
from schedule.engine.plan import PlannedSitting, Trouble, TroubleKind, listed
from schedule.models import Pin
from schedule.models.programme import days_late
from studio.formats import show_date
from studio.models import Person, Studio

ANY = "\0"
"""Stands for a panel's name till it is known how many panels a sentence is of."""
EACH = ("on this panel", "on each of these panels")


@dataclass(frozen=True)
class StudioProblem:
    """The engine's problem and what its keys stand for; `gates` lie beneath the panels now.

    `on_order` are the supplies that are yet to come, by binder.
    `fixed` are the sittings she fixed that count, as she fixed them, though part of one is over;
    `lost_pins` are the troubles of fixed sittings that no longer fit the work, and are not in the
    problem.
    """

    problem: engine.Problem
    commissions: dict[str, Commission]
    panels: dict[str, Panel]
    stages: dict[int, Stage]
    people: dict[str, Person]
    gates: tuple[Opening, ...]
    workshop: Workshop
    on_order: dict[str, Supply]
    lost_pins: tuple[Trouble, ...] = ()
    fixed: tuple[engine.Pin, ...] = ()

    @property
    def drying(self) -> tuple[Opening, ...]:
        """Return the gates that are still closed."""
        return tuple(gate for gate in self.gates if not gate.open_at(self.problem.now))

    def stage_and_coat(self, task: str) -> tuple[Stage, int]:
        pk, coat = task.split(":")
        return self.stages[int(pk)], int(coat)

    def is_fixed(self, sitting: PlannedSitting) -> bool:
        """Return whether a sitting of a plan stands where the painter fixed it."""
        there = (sitting.task, sitting.person, sitting.start)
        return any(there == (pin.task, pin.person, pin.start) for pin in self.problem.pins)

    def told_together(
        self,
        troubles: Iterable[Trouble],
        finishes: dict[str, datetime | None],
        late: Mapping[str, Lateness] | None = None,
    ) -> list[str]:
        """Return the troubles in words, those that differ by their panels alone as one."""
        panels: dict[str, list[str]] = {}
        for trouble in troubles:
            panel = self.panels.get(trouble.panel)
            words = self.told(trouble, finishes, late, panel=ANY)
            panels.setdefault(words, []).append(panel.name if panel else "")
        return [
            (words.replace(*EACH) if len(names) > 1 else words).replace(ANY, listed(names))
            for words, names in panels.items()
        ]

    def told(
        self,
        trouble: Trouble,
        finishes: dict[str, datetime | None],
        late: Mapping[str, Lateness] | None = None,
        *,
        panel: str = "",
    ) -> str:
        """Return a trouble of the plan in words, things called by their names, or as `panel` says.

        `finishes` holds when each commission will be ready; lateness is told in days by it, and
        whether it could have been helped by `late`.
        """
        commission = self.commissions.get(trouble.commission)
        if trouble.kind == TroubleKind.LATE:
            why = (late or {}).get(trouble.commission)
            return late_words(commission, finishes[trouble.commission], why)
        row = self.panels.get(trouble.panel)
        stage, coat = self.stage_and_coat(trouble.task) if trouble.task else (None, 0)
        return trouble.told(
            commission=f"‘{commission.title}’" if commission else "",
            panel=panel or (row.name if row else ""),
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


def build_problem(
    studio: Studio,
    *,
    now: datetime,
    also: Commission | None = None,
    pins: Iterable[Pin] | None = None,
) -> StudioProblem:
    """Return what is to be planned for a studio at an instant (aware UTC).

    `also` is a commission planned as if it were accepted: a promise before the agreement; `pins`
    are planned with in place of the fixed sittings that are kept.
    """
    now = now.astimezone(UTC)
    commissions = _agreed(studio, also)
    rows = Panel.objects.of(studio).for_bench()
    rows = list(rows.filter(surface__piece__commission__in=commissions.values()))
    workshop = workshop_of(studio)
    gates = {panel.pk: current_gate(panel, workshop) for panel in rows}
    people = _at_bench(studio, rows)
    today = now.astimezone(studio.zone).date()
    windows = windows_of(studio, people.values(), first=today)
    some_do = _some_do(people.values())
    faces = faces_of(rows)
    on_order = _on_order(studio, today)
    terms = _terms(studio, windows, some_do, workshop, now, on_order)
    panels = tuple(panel_left(panel, gates[panel.pk], faces, terms) for panel in rows)
    fixed = pinned(pins if pins is not None else not_over(studio, now=now), panels, people, now=now)
    problem = engine.Problem(
        now=now,
        people=_with_hours(people, windows, some_do),
        commissions=tuple(_wanted(key, one) for key, one in commissions.items()),
        panels=panels,
        faces=tuple(faces.values()),
        rack=studio.rack,
        pins=fixed.pins,
        freeze=day_starts(today + timedelta(days=studio.frozen_days + 1), studio.zone),
    )
    return StudioProblem(
        problem=problem,
        commissions=commissions,
        panels={str(panel.pk): panel for panel in rows},
        stages={stage.pk: stage for panel in rows for stage in panel.stages.all()},
        people=people,
        gates=tuple(gate for gate in gates.values() if gate),
        workshop=workshop,
        on_order=on_order,
        lost_pins=fixed.troubles,
        fixed=fixed.whole,
    )


def _wanted(key: str, commission: Commission) -> engine.Commission:
    return engine.Commission(key, wanted_instant(commission), commission.weight)


def wanted_instant(commission: Commission) -> datetime | None:
    """Return the end of the wanted day, in UTC: by then it must be dry."""
    if not commission.wanted:
        return None
    return day_starts(commission.wanted + timedelta(days=1), commission.studio.zone)


def _agreed(studio: Studio, also: Commission | None) -> dict[str, Commission]:
    agreed = Q(state__in=Commission.IN_HAND) | Q(pk=also.pk if also else None)
    return {str(one.pk): one for one in Commission.objects.of(studio).filter(agreed)}


def _at_bench(studio: Studio, panels: Iterable[Panel]) -> dict[str, Person]:
    """Return who paints, and who is at it this minute, by key."""
    at_work = {
        stage.running.person_id for panel in panels for stage in panel.stages.all() if stage.running
    }
    return {str(one.pk): one for one in studio.people.all() if one.paints or one.pk in at_work}


def _with_hours(
    people: Mapping[str, Person],
    windows: Mapping[int, tuple[Window, ...]],
    some_do: frozenset[str],
) -> tuple[engine.Person, ...]:
    return tuple(
        engine.Person(key, windows[one.pk], _skills(one, some_do)) for key, one in people.items()
    )


def _terms(
    studio: Studio,
    windows: Mapping[int, tuple[Window, ...]],
    some_do: frozenset[str],
    workshop: Workshop,
    now: datetime,
    on_order: Mapping[str, Supply],
) -> Terms:
    together = merged(chain.from_iterable(set(windows.values())))
    return Terms(
        now=now,
        zone=studio.zone,
        windows=together,
        room=longest_sitting(together),
        workshop=workshop,
        some_do=some_do,
        comes={key: row.comes for key, row in on_order.items()},
        rack=studio.rack is not None,
    )


def _some_do(people: Iterable[Person]) -> frozenset[str]:
    """Return the kinds of work that not everybody does."""
    hers = [set(person.kinds) for person in people if person.kinds]
    return frozenset().union(*(stage_kinds().keys() - kinds for kinds in hers))


def _skills(person: Person, some_do: frozenset[str]) -> frozenset[str]:
    return some_do.intersection(person.kinds) if person.kinds else some_do


def _on_order(studio: Studio, today: date) -> dict[str, Supply]:
    """Return the supplies that are yet to come, by binder."""
    return {row.binder: row for row in studio.supplies.filter(comes__gt=today)}
