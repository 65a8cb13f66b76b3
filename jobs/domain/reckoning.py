"""Hands-on minutes of stages, by hand where typed, else by the labour engine."""

from datetime import datetime

from jobs.labour.hours import Hours, Size, stage_minutes
from jobs.labour.methods import LEAST_MINUTES_LEFT, OVER_RUN_PERCENT
from jobs.layout.shapes import area
from jobs.models import Panel, Stage


def panel_size(panel: Panel) -> Size:
    return Size(area(panel.shape), panel.intricacy)


def reckon(stage: Stage, *, coats: int | None = None) -> Hours:
    """Return the hands-on time of a stage on its panel, with its arithmetic in words.

    `coats` other than the stage's own price a change of mind.
    """
    coats = stage.coats if coats is None else coats
    if stage.minutes:
        words = f"{stage.minutes} min a coat, typed by hand"
        return Hours((stage.minutes,) * coats, set_up=0, sittings=coats, words=words)
    return stage_minutes(stage.sort, panel_size(stage.panel), coats=coats)


def minutes_left(stage: Stage, *, now: datetime) -> list[int]:
    """Return the hands-on minutes left of each coat still to finish, in order.

    What was already worked on the coat in hand is taken off, down to `LEAST_MINUTES_LEFT`. One that
    took longer than reckoned goes on for `OVER_RUN_PERCENT` of what it took, and no less.
    """
    left = list(reckon(stage).per_coat[stage.coats_done :])
    if left and (worked := worked_so_far(stage, now=now)):
        over = -(-worked * OVER_RUN_PERCENT // 100) if worked > left[0] else 0
        left[0] = max(LEAST_MINUTES_LEFT, over, left[0] - worked)
    return left


def worked_so_far(stage: Stage, *, now: datetime) -> int:
    """Return the minutes worked on the coat in hand, 0 where none is."""
    ends = stage.coat_ends
    return sum(
        sitting.minutes_until(now)
        for sitting in stage.sittings.all()
        if not sitting.finishes_coat and (not ends or sitting.start >= ends[-1])
    )


def over_run(stage: Stage, *, now: datetime) -> tuple[int, int] | None:
    """Return the minutes the coat in hand took so far and those reckoned, None unless it is more.

    The minutes reckoned are what it was to take in all.
    """
    due = reckon(stage).per_coat[stage.coats_done :]
    worked = worked_so_far(stage, now=now)
    return (worked, due[0]) if due and worked > due[0] else None
