"""Drying gates of the coats on a panel: when the next stage may start."""

from dataclasses import dataclass
from datetime import datetime, timedelta

from jobs.labour.methods import GATE_LIKELIHOOD
from jobs.models import Panel, Stage, TouchTest
from jobs.paint.drying import Climate, Drying, drying
from jobs.paint.gates import GATES, NO_WAIT, RECOAT
from jobs.paint.touch import IN_TIME, finger_tells
from studio.models import Studio


@dataclass(frozen=True)
class Opening:
    """The gate after a coat. All instants are aware UTC.

    `since` is when the coat was finished; `likely` and `surely` are the even chance and the
    95 % one (conventions of statistics); `opens` is what the programme counts on. `test` is the
    last touch test on it, `moved_by` the last one that said anything of this gate.
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

    @property
    def label(self) -> str:
        return GATES[self.kind].label

    @property
    def by_touch(self) -> bool:
        """Return whether a finger opened it: she knows already."""
        return self.moved_by is not None and self.opens == self.moved_by.at

    def open_at(self, now: datetime) -> bool:
        return now >= self.opens


def gate_kind(stage: Stage, coat: int) -> str:
    """Return which gate follows a coat: recoat between coats, the stage's own after the last."""
    if coat < stage.coats:
        return RECOAT.key
    return stage.gate


def climate(studio: Studio) -> Climate:
    """Return the air of the studio's room, in which all of its paint dries."""
    return Climate(studio.room_temperature, studio.room_humidity)


def gate_wait(stage: Stage, coat: int, studio: Studio) -> timedelta:
    """Return the wait planned after a coat, with the caution the programme keeps."""
    return gate_drying(stage, coat, studio).at(GATE_LIKELIHOOD)


def gate_drying(stage: Stage, coat: int, studio: Studio) -> Drying:
    """Return the wait after a coat as it is spread over all cases."""
    kind = gate_kind(stage, coat)
    return drying(stage.binder, kind, climate(studio), pigments=pigments(stage))


def pigments(stage: Stage) -> tuple[str, ...]:
    """Return the Colour Index names in the stage's mix."""
    return tuple(part.pigment for part in stage.mix.parts.all()) if stage.mix else ()


def gate_after(stage: Stage, coat: int, *, since: datetime, studio: Studio) -> Opening | None:
    """Return the gate after a finished coat, held or opened by the touch tests on it.

    A 'tacky' or 'wet' test at t leaves the lognormal's part beyond t; what a 'touch-dry' test
    says of a gate stands in jobs.paint.touch.
    """
    kind = gate_kind(stage, coat)
    wait = gate_drying(stage, coat, studio)
    if kind == NO_WAIT.key or not wait.median:
        return None
    tests = [test for test in stage.touch_tests.all() if test.coat == coat]
    last = tests[-1] if tests else None
    tells = finger_tells(kind, stage.binder)
    if last and last.result == TouchTest.Result.DRY and tells:
        opens = max(last.at, since + wait.likely) if tells == IN_TIME else last.at
        return Opening(stage, coat, kind, since, opens, opens, opens, last, last)
    held = [test for test in tests if test.result != TouchTest.Result.DRY]
    elapsed = held[-1].at - since if held else timedelta(0)
    likely, surely, opens = (
        since + wait.at(quantile, elapsed=elapsed) for quantile in (0.5, 0.95, GATE_LIKELIHOOD)
    )
    moved_by = held[-1] if held else None
    return Opening(stage, coat, kind, since, likely, surely, opens, last, moved_by)


def current_gate(panel: Panel) -> Opening | None:
    """Return the gate after the panel's latest finished coat, or None before the first.

    Reads stages with their sittings, touch tests and mix; prefetch them for more than one panel.
    """
    finished = [
        (end, stage.position, coat, stage)
        for stage in panel.stages.all()
        for coat, end in enumerate(stage.coat_ends, start=1)
    ]
    if not finished:
        return None
    end, _, coat, stage = max(finished, key=lambda item: item[:3])
    return gate_after(stage, coat, since=end, studio=panel.owner)


def next_stage(panel: Panel) -> Stage | None:
    """Return the panel's first stage that is not done."""
    return next((stage for stage in panel.stages.all() if not stage.done), None)
