"""The long search for a better plan, in a process of its own: begun, followed, stopped, stored.

It weaves by itself once the work has been quiet for a minute (`wants_weaving`, asked by the
worker): while she types and taps one thing after another, each change is planned calmly at once,
and a search that the next tap overtakes would be in vain. And a page that moves under her hands is
no help.
"""

import logging
import os
import subprocess
import sys
import time
from collections.abc import Callable
from dataclasses import dataclass
from datetime import datetime, timedelta
from pathlib import Path
from threading import Thread
from uuid import UUID, uuid4

from django.conf import settings
from django.db import transaction
from django.utils import timezone

from schedule.domain.afterwards import reckon_what_tells_more
from schedule.domain.inputs import digest_of
from schedule.domain.moves import moves_between
from schedule.domain.problem import StudioProblem, build_problem
from schedule.domain.programme import calm_plan, calmly, keep_plan
from schedule.domain.rows import kept_rows, plan_in
from schedule.engine.judge import faults
from schedule.engine.judge_score import score
from schedule.engine.objective import Score
from schedule.engine.plan import Plan
from schedule.engine.problem import Problem
from schedule.engine.search import Answer, search
from schedule.models import Programme, Weaving
from studio.domain.records import hold_studio
from studio.models import Studio

log = logging.getLogger(__name__)

QUIET = timedelta(minutes=1)
"""How long nothing must have changed before it weaves by itself. Common practice, no source."""
BEAT = 0.5
"""Seconds between two words of how far it has come; in between it asks the database nothing."""
MOST_STEPS, LEAST_STEPS, WORK = 20_000, 1_000, 2_500_000
"""The plans a search makes: so many that they come to some twenty seconds, for a plan takes longer
the more coats there are. Counted and not timed, so that the same work gives the same plan."""
EXACT = 0.3
"""Units of the solver's effort for a commission that is the only one with work left: on studios
with one, measured, a second or two to ten; more of it found nothing more on most."""
BETTER = 0.01
"""What a plan must cost less to be stored, in hours: less is a matter of rounding."""

FAULTY = (
    "The plan that was found breaks a rule, so it is not kept. The programme is as it was. Whoever "
    "keeps the app running finds the reason in its log."
)
BROKE = (
    "The search broke off. The programme is as it was. Whoever keeps the app running finds the "
    "reason in its log."
)
NOT_BEGUN = (
    "The search could not be begun on this machine. The programme is as it was. Whoever keeps the "
    "app running finds the reason in its log."
)


def steps_for(asked: StudioProblem) -> int:
    """Return how many plans the long search of a problem may make."""
    if settings.WEAVE_STEPS:
        return settings.WEAVE_STEPS
    coats = sum(len(panel.tasks) for panel in asked.problem.panels)
    return max(LEAST_STEPS, min(MOST_STEPS, WORK // max(coats, 1)))


def weaving_of(studio: Studio) -> Weaving | None:
    """Return how far the last long search of a studio has come."""
    return Weaving.objects.of(studio).first()


def wants_weaving(programme: Programme, *, now: datetime) -> bool:
    """Return whether a studio's plan should be woven by itself: changed, and quiet since.

    Not where no process may be begun, and not again where it failed or died on this very work; she
    may begin it by hand.
    """
    quiet = programme.changed_at is not None and now - programme.changed_at >= QUIET
    if not settings.WEAVING or not quiet:
        return False
    if programme.work == programme.woven or programme.cost == {}:
        return False
    last = weaving_of(programme.studio)
    return last is None or (not last.alive_at(now) and last.work != programme.work)


def begin(studio: Studio, *, now: datetime, calm: bool = True) -> Weaving | None:
    """Begin the long search in a process of its own, unless one is at it already.

    Where it is not `calm`, what is near may move but for the frozen days: she asked for the best.
    None where no process may be begun: a claim would be taken for one that died.
    """
    if not settings.WEAVING:
        return None
    weaving, new = claim(studio, now=now, calm=calm)
    if new:
        transaction.on_commit(lambda: start_process(studio, weaving))
    return weaving


@transaction.atomic
def claim(studio: Studio, *, now: datetime, calm: bool = True) -> tuple[Weaving, bool]:
    """Return the weaving of a studio and whether it is new: of two that ask at once one gets it."""
    hold_studio(studio)
    weaving = weaving_of(studio)
    if weaving and weaving.alive_at(now):
        return weaving, False
    programme = Programme.objects.of(studio).first()
    fresh = {
        "claim": uuid4(), "calm": calm, "state": Weaving.State.WAITING, "started_at": now,
        "beat_at": now, "steps": 0, "allowed": 0, "cost_before": None, "cost": None,
        "stop_asked": False, "cut_short": False, "words": "", "days_won": None, "late_won": None,
        "work": programme.work if programme else "",
    }  # fmt: skip
    weaving, _ = Weaving.objects.update_or_create(studio=studio, defaults=fresh)
    return weaving, True


def ask_to_stop(studio: Studio) -> None:
    """Have the search end here; the best plan so far is kept."""
    Weaving.objects.of(studio).filter(state__in=Weaving.AT_WORK).update(stop_asked=True)


def start_process(studio: Studio, weaving: Weaving) -> None:
    """Start `manage.py weave` on the settings of this process, on a leash of its own.

    It is told nothing through a shell, outlives the page and this server, and stands back behind
    whatever else the machine has to do.
    """
    manage = Path(settings.BASE_DIR) / "manage.py"
    words = [sys.executable, str(manage), "weave", studio.slug, "--claim", str(weaving.claim)]
    try:
        process = subprocess.Popen(
            words,
            cwd=settings.BASE_DIR,
            env={**os.environ, "DATA_DIR": str(settings.DATA_DIR)},
            stdin=subprocess.DEVNULL,
            stdout=subprocess.DEVNULL,
            start_new_session=True,
        )
    except OSError:
        log.exception("The search for studio %s could not be begun", studio.slug)
        _end(weaving.claim, Weaving.State.FAILED, words=NOT_BEGUN)
        return
    # Waited for, or it stays in the machine's list of processes after its death.
    Thread(target=process.wait, name="weaving", daemon=True).start()


def weave(studio: Studio, *, claim: UUID, clock: Callable[[], datetime] = timezone.now) -> None:
    """Do the long search that a claim stands for, and store what it finds if that is better.

    The work may change meanwhile: the plan that is found is then brought in line with the work as
    it is. A claim that another took over, or that was begun already, does nothing.
    """
    mine = Weaving.objects.filter(studio=studio, claim=claim)
    if not mine.filter(state=Weaving.State.WAITING).update(
        state=Weaving.State.RUNNING, beat_at=clock()
    ):
        return
    try:
        asked = build_problem(studio, now=clock())
        old = plan_in(kept_rows(studio), asked)
        calm = Weaving.objects.get(claim=claim).calm
        found = _search(asked, old, _Word(claim, steps_for(asked), clock), calm=calm)
        _store(studio, claim, found, clock)
    except Exception:
        log.exception("The search for studio %s broke off", studio.slug)
        _end(claim, Weaving.State.FAILED, words=BROKE)
        return
    # No part of the plan, which is stored by now.
    for programme in Programme.objects.filter(studio=studio):
        reckon_what_tells_more(programme)


def _end(claim: UUID, state: str, **more) -> None:
    Weaving.objects.filter(claim=claim).update(state=state, **more)


class _Word:
    """What the search says of itself, and hears, every half second."""

    def __init__(self, claim: UUID, allowed: int, clock: Callable[[], datetime]) -> None:
        self.rows = Weaving.objects.filter(claim=claim, state=Weaving.State.RUNNING)
        self.allowed, self.clock = allowed, clock
        self.steps, self.cost = 0, None
        self.said, self.stopped = 0.0, False

    def progress(self, steps: int, allowed: int, cost: float) -> None:
        self.steps, self.allowed, self.cost = steps, allowed, cost

    def cancel(self) -> bool:
        """Say how far it is, if that is due, and return whether it is to stop."""
        if not self.stopped and time.monotonic() - self.said >= BEAT:
            self.say()
            self.said = time.monotonic()
        return self.stopped

    def say(self) -> None:
        told = {"beat_at": self.clock(), "steps": self.steps, "allowed": self.allowed}
        if self.cost is not None:
            told["cost"] = self.cost
        there = self.rows.update(**told)
        # No row: another has taken over, and what is found here will not be stored.
        self.stopped = not there or self.rows.filter(stop_asked=True).exists()


@dataclass(frozen=True)
class _Found:
    """What the search was asked, and what it answers."""

    asked: StudioProblem
    problem: Problem
    answer: Answer
    calm: bool

    def cost(self, problem: Problem, plan: Plan, old: Plan | None) -> Score:
        """Return what a plan costs, what it moves of an old one only where it is to be calm."""
        return score(problem, plan, old if self.calm else None)


def _search(asked: StudioProblem, old: Plan | None, word: _Word, *, calm: bool) -> _Found:
    problem = calmly(asked.problem, old)
    before = score(problem, calm_plan(problem, old), old if calm else None).total
    word.rows.update(cost_before=before, cost=before, allowed=word.allowed)
    progress, cancel = word.progress, word.cancel
    answer = search(
        problem,
        steps=word.allowed,
        old=old,
        calm=calm,
        progress=progress,
        cancel=cancel,
        exact=EXACT,
    )
    return _Found(asked, problem, answer, calm)


@transaction.atomic
def _store(
    studio: Studio,
    claim: UUID,
    found: _Found,
    clock: Callable[[], datetime],
) -> None:
    """Store what was found, if the judge lets it pass and it is better than what there is."""
    hold_studio(studio)
    mine = Weaving.objects.filter(claim=claim, state=Weaving.State.RUNNING)
    if not mine.exists():
        return
    asked = build_problem(studio, now=clock())
    rows = kept_rows(studio)
    old = plan_in(rows, asked)
    try:
        plan, won = _better(found, asked, old)
    except _FaultyError as error:
        log.error("The plan found for studio %s is faulty: %s", studio.slug, error)
        mine.update(state=Weaving.State.FAILED, words=FAULTY)
        return
    answer = found.answer
    # A better place for what is weeks away moves no day and nothing near: that is no news.
    news = any(won) or (old is not None and moves_between(old, plan, now=asked.problem.now))
    why = f"It was woven anew: {won_words(*won)}." if won[0] is not None and news else ""
    keep_plan(studio, asked, plan, rows=rows, old=old, why=why)
    work = digest_of(asked)
    Programme.objects.filter(studio=studio).update(woven=work)
    mine.update(
        state=Weaving.State.STOPPED if answer.cut_short else Weaving.State.DONE,
        cut_short=answer.cut_short, steps=answer.steps, beat_at=clock(), work=work,
        days_won=won[0], late_won=won[1],
    )  # fmt: skip


class _FaultyError(Exception):
    """The judge found something wrong with a plan; the message says what."""


def _better(
    found: _Found, asked: StudioProblem, old: Plan | None
) -> tuple[Plan, tuple[float | None, float | None]]:
    """Return the plan to store and what it wins: that found, or what any change would lead to.

    Where the work changed meanwhile, or a quarter of an hour went by, it is planned calmly from the
    order that was found. Raises _FaultyError where the judge objects.
    """
    plan = found.answer.plan
    _judge(found.problem, plan)
    problem = calmly(asked.problem, old)
    if digest_of(found.asked) != digest_of(asked) or faults(problem, plan):
        plan = calm_plan(problem, plan)
        _judge(problem, plan)
    usual = calm_plan(problem, old)
    now, then = found.cost(problem, usual, old), found.cost(problem, plan, old)
    if then.total > now.total - BETTER:
        _judge(problem, usual)
        return usual, (None, None)
    sooner = now.completion - then.completion
    return plan, (days(sooner), days(hours_late(problem, usual) - hours_late(problem, plan)))


def hours_late(problem: Problem, plan: Plan) -> float:
    """Return by how many hours in all a plan is late, each day counted once.

    In its cost a day counts more where a date matters more.
    """
    wanted = {one.key: one.wanted for one in problem.commissions if one.wanted}
    ends = [row for row in plan.finishes if row.finish and row.commission in wanted]
    late = [max(timedelta(0), row.finish - wanted[row.commission]) for row in ends]
    return sum(late, timedelta(0)) / timedelta(hours=1)


def _judge(problem: Problem, plan: Plan) -> None:
    if found := list(faults(problem, plan)):
        raise _FaultyError("; ".join(found))


def days(hours: float) -> float:
    """Return hours as days, to the tenth."""
    return round(hours / 24, 1)


def won_words(days_won: float | None, late_won: float | None) -> str:
    """Return what weaving won, in words that follow a colon."""
    if days_won is None:
        return "no better plan was found"
    parts = []
    if late_won:
        which = "less" if late_won > 0 else "more"
        parts.append(f"{_days(late_won)} {which} late in all")
    if days_won:
        which = "earlier" if days_won > 0 else "later"
        parts.append(f"finishes come {_days(days_won)} {which} in all")
    return ", ".join(parts) or "all are ready when they were"


def _days(number: float) -> str:
    number = abs(number)
    count = round(number) if number >= 10 else number
    return f"{count:g} day{'' if count == 1 else 's'}"
