"""What a plan is made from, in short: kept with it, and told apart from the next by it."""

from dataclasses import replace
from datetime import UTC, datetime, timedelta
from hashlib import sha256

from jobs.domain.reckoning import over_run
from jobs.labour.stages import stage_kinds
from jobs.models import Stage
from schedule.domain.awaited import days_awaited
from schedule.domain.problem import StudioProblem
from schedule.engine import problem as engine
from schedule.engine.problem import EPOCH
from studio.models import DatedHours, Studio

DAYS = 56
"""How far ahead hours are compared day by day: eight weeks, twice the near time she can move."""


def inputs_of(asked: StudioProblem, studio: Studio) -> dict:
    """Return what a problem is made from, short enough to be kept with each plan (JSON)."""
    problem, zone = asked.problem, studio.zone
    tasks = {task.key: (panel, task) for panel in problem.panels for task in panel.tasks}
    return {
        "day": problem.now.astimezone(zone).date().isoformat(),
        "room": [studio.room_temperature, studio.room_humidity, studio.room_airing],
        "people": {key: person.name for key, person in asked.people.items()},
        "kinds": {key: _kinds(person.kinds) for key, person in asked.people.items()},
        "over": _over_runs(asked),
        "awaited": days_awaited(asked, studio),
        "off": _days_off(asked, studio),
        "dated": _dated_hours(asked, studio),
        "commissions": {
            key: [one.title, one.wanted.isoformat() if one.wanted else "", one.weight]
            for key, one in asked.commissions.items()
        },
        "panels": {
            panel.key: [
                asked.panels[panel.key].title,
                panel.commission,
                _iso(panel.not_before),
            ]
            for panel in problem.panels
        },
        "work": {
            key: [
                panel.key,
                _coat_name(asked, key),
                task.minutes,
                int(task.gate.wait.total_seconds() // 60) if task.gate else 0,
                _iso(task.not_before),
            ]
            for key, (panel, task) in tasks.items()
        },
        "gates": {f"{one.stage.pk}:{one.coat}": _iso(one.opens) for one in asked.gates},
        "running": [key for key, (_, task) in tasks.items() if task.begun_by],
        "hours": {one.key: _hours(one, problem.now, studio) for one in problem.people},
        "pins": [[pin.task, _iso(pin.start)] for pin in asked.fixed],
        "rack": problem.rack or 0,
    }


def digest_of(asked: StudioProblem) -> str:
    """Return a digest of all that a plan depends on, but for the minute it is made in."""
    problem = asked.problem
    panels = [
        replace(panel, tasks=(_any_length(panel.tasks[0]), *panel.tasks[1:]))
        if panel.tasks and panel.tasks[0].begun_by
        else panel
        for panel in problem.panels
    ]
    people = [
        (one.key, sorted(one.skills), [(w.start - EPOCH, w.end - EPOCH) for w in one.windows])
        for one in problem.people
    ]
    rest = (problem.commissions, problem.faces, problem.rack, asked.fixed, problem.freeze)
    return sha256(repr((panels, people, rest)).encode()).hexdigest()


def _any_length(begun: engine.Task) -> engine.Task:
    """Return a task at work without its minutes, which grow less as she works.

    Those of a sitting too: a coat that must not be broken is one sitting of all that is left.
    """
    return replace(begun, minutes=1, shortest=1, longest=1, set_up=0)


def _coat_name(asked: StudioProblem, task: str) -> str:
    stage, coat = asked.stage_and_coat(task)
    return stage.coat_name(coat)


def _iso(moment: datetime | None) -> str:
    return moment.astimezone(UTC).isoformat() if moment else ""


def _hours(person: engine.Person, now: datetime, studio: Studio) -> dict[str, int]:
    """Return the open minutes of each local day of the coming weeks that has any."""
    today = now.astimezone(studio.zone).date()
    last = today + timedelta(days=DAYS)
    open_minutes: dict[str, int] = {}
    for window in person.windows:
        day = window.start.astimezone(studio.zone).date()
        if day > last:
            break
        minutes = int((window.end - window.start).total_seconds() // 60)
        open_minutes[day.isoformat()] = open_minutes.get(day.isoformat(), 0) + minutes
    return open_minutes


def _kinds(kinds: list[str]) -> list[str]:
    """Return kinds of work by their names, none for every kind."""
    known = stage_kinds()
    return [known[kind].name.lower() for kind in known if kind in kinds]


def _over_runs(asked: StudioProblem) -> dict[str, tuple[int, int]]:
    """Return the coats in hand that took longer than reckoned: minutes so far, minutes reckoned."""
    stages: dict[int, Stage] = asked.stages
    found = {
        f"{pk}:{stage.coats_done + 1}": over_run(stage, now=asked.problem.now)
        for pk, stage in stages.items()
        if not stage.done
    }
    return {task: minutes for task, minutes in found.items() if minutes}


def _days_off(asked: StudioProblem, studio: Studio) -> dict[str, list[str]]:
    """Return the days off to come: what they are called, the first day and the last."""
    today = asked.problem.now.astimezone(studio.zone).date()
    return {
        str(row.pk): [row.reason, row.first.isoformat(), row.last.isoformat()]
        for row in studio.days_off.filter(last__gte=today)
    }


def _dated_hours(asked: StudioProblem, studio: Studio) -> dict[str, list]:
    """Return longer hours and visits to come: kind, name, whose, the day, from when, till when."""
    today = asked.problem.now.astimezone(studio.zone).date()
    people = asked.people
    return {
        str(row.pk): [
            row.kind == DatedHours.Kind.EXTRA,
            row.note,
            people[str(row.person_id)].name if str(row.person_id) in people else "",
            *(one.isoformat() for one in (row.day, row.start, row.end)),
        ]
        for row in studio.dated_hours.filter(day__gte=today)
    }
