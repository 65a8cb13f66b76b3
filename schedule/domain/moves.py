"""What moved when the plan was made anew, and why: the last change worth telling is kept."""

from dataclasses import dataclass
from datetime import datetime, timedelta

from jobs.models import Stage
from schedule.domain.causes import Causes, causes
from schedule.domain.problem import StudioProblem
from schedule.engine.objective import NEAR
from schedule.engine.plan import Plan
from schedule.engine.problem import SLOT
from schedule.models import Programme
from studio.models import Studio

SHOWN = 10
"""Moved stages told before the rest is counted."""
CAUSES_SHOWN = 5
NEWS = timedelta(hours=1)
"""How long the bench points to what moved; common practice, no source."""


@dataclass(frozen=True)
class Move:
    """A coat that begins at another time than the plan before said (aware UTC)."""

    stage: Stage
    coat: int
    was: datetime
    now: datetime

    @property
    def title(self) -> str:
        return self.stage.coat_name(self.coat)

    @property
    def later(self) -> bool:
        return self.now > self.was


@dataclass(frozen=True)
class Change:
    """The last change: when, why, what moved of the near time, and how much more of either."""

    at: datetime
    causes: tuple[str, ...]
    more_causes: int
    moves: tuple[Move, ...]
    more: int


def moves_between(old: Plan, new: Plan, *, now: datetime) -> list[dict]:
    """Return the coats that begin at another time, of the two weeks in either plan (JSON).

    In the order in which the old plan had them.
    """
    before, after = first_starts(old), first_starts(new)
    near = [
        (was, task)
        for task, was in before.items()
        if task in after and min(was, after[task]) < now + NEAR and abs(after[task] - was) >= SLOT
    ]
    return [
        {
            "stage": int(task.split(":")[0]),
            "coat": int(task.split(":")[1]),
            "was": was.isoformat(),
            "now": after[task].isoformat(),
        }
        for was, task in sorted(near)
    ]


def first_starts(plan: Plan) -> dict[str, datetime]:
    """Return when a plan first has each coat at the bench."""
    starts: dict[str, datetime] = {}
    for sitting in plan.sittings:
        starts[sitting.task] = min(sitting.start, starts.get(sitting.task, sitting.start))
    return starts


def note_change(
    programme: Programme,
    asked: StudioProblem,
    *,
    old: Plan | None,
    new: Plan,
    inputs: dict,
    why: str = "",
) -> None:
    """Write on a programme what moved and why, where that is worth telling; it is not saved.

    `inputs` are what the new plan is made from; `why` goes before all causes found. Where nothing
    but time went by, only a coat that begins on another day is worth it, so that what she did last
    is not painted over every quarter of an hour.
    """
    studio, now = programme.studio, asked.problem.now
    if old is None or not programme.inputs:
        return
    gates = {gate.task: gate.opens for gate in old.gates}
    found = causes(programme.inputs, inputs, asked, studio, starts=first_starts(old), gates=gates)
    moves = moves_between(old, new, now=now)
    if not _worth_telling(found, moves, studio, why=why):
        return
    programme.moves = moves
    programme.causes = [*([why] if why else []), *found.told, *(found.along if moves else ())]
    programme.moved_at = now


def _worth_telling(found: Causes, moves: list[dict], studio: Studio, *, why: str) -> bool:
    if why or found.told:
        return True
    return any(_day(move["was"], studio) != _day(move["now"], studio) for move in moves)


def _day(iso: str, studio: Studio):
    return datetime.fromisoformat(iso).astimezone(studio.zone).date()


@dataclass(frozen=True)
class News:
    """The last change in a line: its first cause, and how many coats moved."""

    cause: str
    count: int


def news_of(programme: Programme, *, now: datetime) -> News | None:
    """Return the last change if it is news still; asks the database nothing."""
    at = programme.moved_at
    if at is None or now - at >= NEWS:
        return None
    return News(next(iter(programme.causes), ""), len(programme.moves))


def last_change(programme: Programme) -> Change | None:
    """Return the last change with the stages that moved, None where none was worth telling."""
    if programme.moved_at is None:
        return None
    stages = Stage.objects.of(programme.studio).select_related("panel__surface__piece__commission")
    known = stages.in_bulk({move["stage"] for move in programme.moves[:SHOWN]})
    shown = [
        Move(
            known[move["stage"]],
            move["coat"],
            datetime.fromisoformat(move["was"]),
            datetime.fromisoformat(move["now"]),
        )
        for move in programme.moves[:SHOWN]
        if move["stage"] in known
    ]
    return Change(
        at=programme.moved_at,
        causes=tuple(programme.causes[:CAUSES_SHOWN]),
        more_causes=max(0, len(programme.causes) - CAUSES_SHOWN),
        moves=tuple(shown),
        more=max(0, len(programme.moves) - SHOWN),
    )
