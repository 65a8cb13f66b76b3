"""The programme: made, kept, and made anew whenever the work changes."""

import logging
from collections.abc import Callable, Iterable
from dataclasses import asdict, replace
from datetime import datetime, timedelta
from functools import partial

from django.db import transaction

from schedule.domain.inputs import digest_of, inputs_of
from schedule.domain.moves import note_change
from schedule.domain.pins import with_pins
from schedule.domain.problem import StudioProblem, build_problem
from schedule.domain.reminders import set_reminders
from schedule.domain.rows import Rows, kept_rows, plan_in, store_plan
from schedule.engine.calm import held
from schedule.engine.judge import faults
from schedule.engine.judge_score import score
from schedule.engine.lateness import why_late
from schedule.engine.plan import OF_PINS, Plan
from schedule.engine.problem import Problem
from schedule.engine.search import search
from schedule.models import PlannedGate, PlannedSitting, Programme
from studio.domain.records import hold_studio
from studio.models import Studio

STALE_AFTER = timedelta(minutes=15)
"""A programme older than this is made anew before it is shown: the grain of a plan."""
SMALL, FEW, LEAST, COATS = 40, 4, 10, 15_000
"""How many plans a change makes: at most, for each panel with work left (one alone has no order to
be searched), at least, and with so many coats in all of them. A tap must be done in a tenth of a
second or so; what is left to be found, the long search finds."""


UNPLANNED = (
    "The last change could not be planned, so the programme is the one from before it. "
    "Your log is safe. Whoever keeps the app running finds the reason in its log."
)

UNTOLD = (
    "The reminders of what dries could not be made anew. Your log is safe. Whoever keeps the app "
    "running finds the reason in its log."
)

log = logging.getLogger(__name__)


def fresh_programme(studio: Studio, *, now: datetime) -> Programme:
    """Return the studio's programme, made anew where time has passed it by."""
    kept = Programme.objects.of(studio).first()
    if kept is None or now - kept.made_at >= STALE_AFTER:
        return plan_studio(studio, now=now)
    return kept


@transaction.atomic
def plan_studio(studio: Studio, *, now: datetime) -> Programme:
    """Plan all agreed work of a studio and store the plan with its reminders.

    The plan there is stays as it is where it can: its order is tried first, and moving what is near
    costs. A plan that fails, or in which the independent judge finds a fault, is not stored: the
    old one stays, and says so. What she logged, and what is to be told of it, must not hang on the
    planner.
    """
    hold_studio(studio)
    asked = _guarded(studio, "The work", lambda: build_problem(studio, now=now))
    if asked is None:
        return _kept(studio, [UNPLANNED], now)
    told = _guarded(
        studio, "What dries", lambda: set_reminders(studio, asked.gates, now=now) or True
    )
    untold = [] if told else [UNTOLD]
    rows = kept_rows(studio)
    old = plan_in(rows, asked)
    plan = _sound_plan(asked, _less_let_go(studio, asked, old), studio)
    if plan is None:
        return _kept(studio, [UNPLANNED, *untold], now)
    return keep_plan(studio, asked, plan, rows=rows, old=old, untold=untold)


def _less_let_go(studio: Studio, asked: StudioProblem, old: Plan | None) -> Plan | None:
    """Return the old plan without the coats whose fixed sittings she let go since: they are free.

    Else they would stay where she had them, for what is near stays.
    """
    fixed = {pin.task for pin in asked.fixed}
    free = {task for task, _ in _programme_of(studio).inputs.get("pins", ()) if task not in fixed}
    if old is None or not free:
        return old
    return replace(old, sittings=tuple(one for one in old.sittings if one.task not in free))


def keep_plan(
    studio: Studio,
    asked: StudioProblem,
    plan: Plan,
    *,
    rows: Rows,
    old: Plan | None,
    untold: Iterable[str] = (),
    why: str = "",
) -> Programme:
    """Store a plan that the judge has passed, with what it costs, what moved and why.

    `rows` are those kept till now and `old` the plan they stand for. The studio must be held.
    """
    now = asked.problem.now
    programme = _programme_of(studio)
    _note(programme, asked, plan, old, why)
    finishes = {row.commission: row.finish for row in plan.finishes}
    store_plan(studio, asked, plan, rows, now)
    programme.cost = asdict(score(asked.problem, plan, old))
    late = _guarded(studio, "What is late", lambda: why_late(asked.problem, plan))
    troubles = (*asked.lost_pins, *plan.troubles)
    programme.troubles = [*asked.told_together(troubles, finishes, late), *untold]
    programme.lost_pins = {
        one.task: asked.told(one, finishes, late) for one in troubles if one.kind in OF_PINS
    }
    programme.made_at = now
    programme.save()
    return programme


def _note(
    programme: Programme, asked: StudioProblem, plan: Plan, old: Plan | None, why: str
) -> None:
    """Note what moved and why; what cannot be told hinders no plan."""
    studio = programme.studio

    def note() -> None:
        inputs, work = inputs_of(asked, studio), digest_of(asked)
        note_change(programme, asked, old=old, new=plan, inputs=inputs, why=why)
        if programme.work != work:
            programme.work, programme.changed_at = work, asked.problem.now
        programme.inputs = inputs

    _guarded(studio, "What moved in the work", note)


def calmly(problem: Problem, old: Plan | None) -> Problem:
    """Return a problem with what an old plan has in the frozen days kept where it is."""
    return held(problem, old) if old else problem


def calm_plan(problem: Problem, old: Plan | None) -> Plan:
    """Return a plan near an old one, in tens of milliseconds; the same call, the same plan.

    `problem` is asked `calmly` where anything is to stay where it is.
    """
    work = sum(bool(panel.tasks) for panel in problem.panels)
    coats = sum(len(panel.tasks) for panel in problem.panels)
    affordable = max(LEAST, COATS // max(coats, 1))
    steps = min(SMALL, FEW + FEW * work, affordable)
    return search(problem, steps=steps, old=old, bounded=False).plan


def _sound_plan(asked: StudioProblem, old: Plan | None, studio: Studio) -> Plan | None:
    """Return a plan that passed the judge, or None, with the reason in the log.

    Before there is none at all, what is held in the frozen days is let go.
    """

    def judged(problem: Problem) -> tuple[Plan, list[str]]:
        plan = calm_plan(problem, old)
        return plan, list(faults(problem, plan))

    for calm in (True, False):
        problem = calmly(asked.problem, old) if calm else asked.problem
        plan, found = _guarded(studio, "The work", partial(judged, problem)) or (None, [])
        if plan and not found:
            return plan
        if found:
            log.error("The plan of studio %s is faulty: %s", studio.slug, "; ".join(found))
    return None


def _guarded[Found](studio: Studio, what: str, act: Callable[[], Found]) -> Found | None:
    """Return what `act` found, or None where it failed: the reason is in the log, no more."""
    try:
        # A savepoint: what failed halfway leaves nothing behind, and her log goes on.
        with transaction.atomic():
            return act()
    except Exception:
        log.exception("%s of studio %s could not be planned", what, studio.slug)
        return None


def _programme_of(studio: Studio) -> Programme:
    programme = Programme.objects.filter(studio=studio).first() or Programme()
    programme.studio = studio
    return programme


def _kept(studio: Studio, troubles: list[str], now: datetime) -> Programme:
    programme = _programme_of(studio)
    programme.made_at, programme.troubles, programme.lost_pins = now, troubles, {}
    programme.save()
    return programme


def planned_sittings(studio: Studio) -> Iterable[PlannedSitting]:
    """Return the sittings of the plan in order, with all that names them and `pin` if fixed."""
    rows = with_pins(PlannedSitting.objects.of(studio).filter(dropped_at=None))
    return rows.select_related("person", "stage__panel__surface__piece__commission")


def planned_gates(studio: Studio) -> Iterable[PlannedGate]:
    """Return the gates of the plan in the order they open, with all that names them."""
    rows = PlannedGate.objects.of(studio).filter(dropped_at=None)
    return rows.select_related("stage__panel__surface__piece__commission")
