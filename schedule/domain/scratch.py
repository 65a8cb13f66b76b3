"""A scratch copy of the work: a change tried, planned beside all that is agreed, and undone."""

import logging
from collections.abc import Callable
from dataclasses import dataclass, replace
from datetime import datetime

from django.db import transaction

from jobs.models import Commission
from schedule.domain.outlook import doubt_of
from schedule.domain.problem import StudioProblem, build_problem
from schedule.domain.programme import calm_plan, calmly
from schedule.domain.rows import Rows, kept_rows, plan_in
from schedule.engine.calendar import Window
from schedule.engine.judge import faults
from schedule.engine.lateness import only
from schedule.engine.plan import Plan
from schedule.engine.planner import make_plan
from schedule.engine.problem import EPOCH, Person, Problem
from schedule.engine.promise.doubt import Doubt
from schedule.engine.promise.outlook import Outlook, foresee
from schedule.engine.search import search
from studio.models import Studio
from studio.signals import mute_changes

ALONE = 200
"""Plans tried for a commission by itself: a fraction of a second."""

log = logging.getLogger(__name__)

type Change = Callable[[Studio], Commission | None]
"""What is tried, on a fresh copy of the studio; returns a commission to plan as if accepted."""


@dataclass(frozen=True)
class Scratch:
    """The work as it would be, with what is uncertain about it and the plan that is kept of it.

    Records in it may be of rows that are gone again: they are to be shown, never saved. `read` is
    what was read of the trial's commission while it was there.
    """

    asked: StudioProblem
    doubt: Doubt
    old: Plan | None
    read: object = None


@dataclass(frozen=True)
class Foretold:
    """A plan of a scratch copy, with the outlook of each commission by its primary key."""

    scratch: Scratch
    plan: Plan
    outlooks: dict[int, Outlook]

    @property
    def asked(self) -> StudioProblem:
        return self.scratch.asked


def as_it_stands(studio: Studio, *, now: datetime, also: Commission | None = None) -> Scratch:
    """Return the agreed work as it is, and `also` a commission as if it were accepted."""
    return _scratch(build_problem(studio, now=now, also=also), kept_rows(studio))


def _scratch(asked: StudioProblem, rows: Rows) -> Scratch:
    """Return what follows from what was read, without asking the database."""
    return Scratch(asked, doubt_of(asked), plan_in(rows, asked))


def as_it_would_be(
    studio: Studio,
    change: Change,
    *,
    now: datetime,
    read: Callable[[Commission], object] | None = None,
) -> Scratch:
    """Return the work as it would be after a change, which leaves nothing behind.

    The database is held while the change is written and the work read, not while it is planned.
    `read` reads of the commission to plan what must be known of it. Refused of the verbs that
    `change` calls passes through.
    """
    with mute_changes(), transaction.atomic():
        fresh = Studio.objects.get(pk=studio.pk)
        also = change(fresh)
        asked, rows = build_problem(fresh, now=now, also=also), kept_rows(fresh)
        known = read(also) if read and also else None
        transaction.set_rollback(True)
    return replace(_scratch(asked, rows), read=known)


def foretell(scratch: Scratch) -> Foretold:
    """Plan a scratch copy as a change plans the work itself, and play it through its futures.

    It asks the database for nothing, and takes a second or so for twenty commissions.
    """
    problem = calmly(scratch.asked.problem, scratch.old)
    plan = calm_plan(problem, scratch.old)
    if found := faults(problem, plan):
        # What would not be stored is not told either; the simple rule has nothing to go wrong by.
        log.error("A trial of studio work is faulty: %s", "; ".join(found))
        plan = make_plan(scratch.asked.problem)
    outlooks = foresee(_taken_over(problem), plan, scratch.doubt)
    return Foretold(scratch, plan, {int(outlook.commission): outlook for outlook in outlooks})


def foretell_alone(foretold: Foretold, commission: Commission) -> Foretold:
    """Foretell one commission of a scratch copy as if it were the only work there is.

    Its plan is searched for, since what is said not to be possible must not hang on a poor one.
    """
    alone = only(foretold.asked.problem, str(commission.pk))
    plan = search(alone, steps=ALONE).plan
    scratch = replace(foretold.scratch, asked=replace(foretold.asked, problem=alone))
    (outlook,) = foresee(_taken_over(alone), plan, scratch.doubt)
    return Foretold(scratch, plan, {commission.pk: outlook})


def _taken_over(problem: Problem) -> Problem:
    """Return the problem with the hours of whoever stays added to those of who leaves before.

    In a future in which she does not get done by her last day, somebody else does the rest. It is
    taken to hinder nobody, since it is little.
    """
    longest = max((person.windows for person in problem.people), key=_last, default=())

    def stays(person: Person) -> Person:
        more = tuple(window for window in longest if window.start >= _last(person.windows))
        return replace(person, windows=person.windows + more) if more else person

    return replace(problem, people=tuple(stays(person) for person in problem.people))


def _last(windows: tuple[Window, ...]) -> datetime:
    """Return the end of the last window; long ago where there is none."""
    return windows[-1].end if windows else EPOCH
