"""Drying gates of the coats on a panel: when the next stage may start."""

from dataclasses import dataclass
from datetime import date, datetime, timedelta
from itertools import takewhile

from jobs.domain.workshop import Workshop, workshop_of
from jobs.models import Panel, Stage, TouchTest
from jobs.paint.drying import Drying
from jobs.paint.gates import GATES, NO_WAIT, RECOAT, quarter_up
from jobs.paint.touch import IN_TIME, finger_tells
from studio.formats import local, show_near_day, show_when
from studio.models import Studio

TOLD_BY_THE_HOUR = timedelta(days=2)
"""Nearer than this a gate is told to a quarter of an hour, beyond it by the half-day."""
NOON, EVENING = 12, 18


@dataclass(frozen=True)
class Opening:
    """The gate after a coat. All instants are aware UTC.

    `since` is when the coat was finished; `likely` and `surely` are the even chance and the
    95 % one (conventions of statistics); `opens` is what the programme counts on. `test` is the
    last touch test on it, `moved_by` the last one that said anything of this gate. `beyond` says
    why the wait is a guess, where room, film or mix lie outside what the sources cover, and is
    "" where they do not.
    """

    stage: Stage
    coat: int
    kind: str
    since: datetime
    likely: datetime
    surely: datetime
    opens: datetime
    test: TouchTest | None
    moved_by: TouchTest | None
    beyond: str = ""

    @property
    def label(self) -> str:
        return GATES[self.kind].label

    @property
    def by_touch(self) -> bool:
        """Return whether a finger opened it: she knows already."""
        return self.moved_by is not None and self.opens == self.moved_by.at

    @property
    def touchable(self) -> bool:
        """Return whether there is paint to hold a finger to: a washed board only dries off."""
        return self.stage.leaves_film

    def open_at(self, now: datetime) -> bool:
        return now >= self.opens


def gate_kind(stage: Stage, coat: int) -> str:
    """Return which gate follows a coat: recoat between coats, the stage's own after the last."""
    if coat < stage.coats:
        return RECOAT.key
    return stage.gate


def gate_wait(stage: Stage, coat: int, workshop: Workshop) -> timedelta:
    """Return the wait planned after a coat, as surely as the studio wants it."""
    return gate_drying(stage, coat, workshop).at(workshop.likelihood)


def gate_drying(stage: Stage, coat: int, workshop: Workshop) -> Drying:
    """Return the wait after a coat as it is spread over all cases."""
    return workshop.wait(stage, gate_kind(stage, coat), coat=coat)


def gate_after(
    stage: Stage, coat: int, *, since: datetime, workshop: Workshop, kind: str = ""
) -> Opening | None:
    """Return the gate after a finished coat, held or opened by the touch tests on it.

    `kind` is another gate than the one that the method waits for. In a room that changed, what has
    dried by then did so at the pace of the old one. A 'tacky' or 'wet' test at t
    leaves the lognormal's part beyond t; what a dry test after it says of a gate stands in
    jobs.paint.touch.
    """
    kind = kind or gate_kind(stage, coat)
    wait = workshop.wait(stage, kind, coat=coat)
    if kind == NO_WAIT.key or not wait.median:
        return None
    lain = workshop.ageing(stage, kind, since=since)
    tests = [test for test in stage.touch_tests.all() if test.coat == coat]
    last = tests[-1] if tests else None
    for test in takewhile(lambda test: test.dry, reversed(tests)):
        if tells := finger_tells(kind, stage.binder, test.result):
            opens = max(test.at, lain.when(wait.likely)) if tells == IN_TIME else test.at
            return Opening(stage, coat, kind, since, opens, opens, opens, last, test, wait.why)
    held = [test for test in tests if not test.dry]
    elapsed = lain.age(held[-1].at) if held else timedelta(0)
    likely, surely, opens = (
        lain.when(wait.at(quantile, elapsed=elapsed))
        for quantile in (0.5, 0.95, workshop.likelihood)
    )
    moved_by = held[-1] if held else None
    return Opening(stage, coat, kind, since, likely, surely, opens, last, moved_by, wait.why)


def show_gate(instant: datetime, studio: Studio, *, now: datetime) -> str:
    """Return when a gate opens or opened, as near as it is known, never too early.

    'today 14:15' within two days of now, 'Thu 26 Nov morning' beyond.
    """
    if abs(instant - now) <= TOLD_BY_THE_HOUR:
        told = quarter_up(instant)
        # What has opened is not told as still to come.
        return show_when(min(told, now) if instant <= now else told, studio, now=now)
    day, half = half_day(instant, studio)
    return f"{show_near_day(day, studio, now=now)} {half}"


def half_day(instant: datetime, studio: Studio) -> tuple[date, str]:
    """Return the local day and 'morning' or 'afternoon' by which something is dry at an instant.

    An evening is the next morning, for nobody waits up for paint.
    """
    there = local(instant, studio)
    day = there.date() + timedelta(days=there.hour >= EVENING)
    return day, "afternoon" if NOON <= there.hour < EVENING else "morning"


def current_gate(panel: Panel, workshop: Workshop | None = None) -> Opening | None:
    """Return the gate after the panel's latest finished coat, or None before the first.

    Reads stages with their sittings, touch tests and mix; prefetch them for more than one
    panel, and give the studio's workshop, which is fetched here otherwise.
    """
    finished = finished_coats(panel)
    if not finished:
        return None
    end, _, coat, stage = finished[-1]
    workshop = workshop or workshop_of(panel.owner)
    return gate_after(stage, coat, since=end, workshop=workshop)


def finished_coats(panel: Panel) -> list[tuple[datetime, int, int, Stage]]:
    """Return (when finished, position, coat, stage) of every finished coat, as they were laid."""
    return sorted(
        (
            (end, stage.position, coat, stage)
            for stage in panel.stages.all()
            for coat, end in enumerate(stage.coat_ends, start=1)
        ),
        key=lambda item: item[:3],
    )


def next_stage(panel: Panel) -> Stage | None:
    """Return the panel's first stage that is not done."""
    return next((stage for stage in panel.stages.all() if not stage.done), None)
