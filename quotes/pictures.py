"""A promise as a picture: how likely a commission is to be ready by each day."""

from datetime import date, timedelta
from math import cos, pi, sin

from jobs.layout.drawing import Drawing, Label, Move, Path, line
from quotes.domain.promise import Promise
from studio.formats import show_date
from studio.models import Studio

WIDTH, HEIGHT = 1000, 450
LEFT, RIGHT, TOP, FOOT = 165, 985, 60, 370
"""Where the curve lies in the picture, in its own units."""
LETTERS = 46
DOT = 12
ROOM = 230
"""What the words of the day to promise take."""
LEVELS = ((0.5, "likely"), (0.95, "surely"))


def promise_curve(promise: Promise, studio: Studio, wanted: date | None) -> Drawing | None:
    """Return the curve of a promise, the days asked for and to promise marked on it.

    None without two days.
    """
    days = [day for _, day in promise.curve]
    if len(set(days)) < 2:
        return None
    first, last = days[0] - timedelta(days=1), days[-1] + timedelta(days=1)
    shown = wanted if wanted and first <= wanted <= last else None

    def across(day: date) -> float:
        return LEFT + (RIGHT - LEFT) * (day - first) / (last - first)

    def down(chance: float) -> float:
        return FOOT - (FOOT - TOP) * chance

    marks = [Path(line((LEFT, FOOT), (RIGHT, FOOT)), "curve-level")]
    for chance, name in LEVELS:
        marks.append(Path(line((LEFT, down(chance)), (RIGHT, down(chance))), "curve-level"))
        marks.append(Label(LEFT - 14, down(chance) + 14, name, "note", "end", LETTERS))
    if shown:
        marks.append(Path(line((across(shown), TOP), (across(shown), FOOT)), "curve-wanted"))
        marks.append(Label(across(shown), TOP - 14, "asked for", "note", size=LETTERS))
    points = [(across(day), down(chance)) for chance, day in promise.curve]
    marks.append(Path(line(*points), "curve"))
    for chance, day in promise.curve:
        if chance in dict(LEVELS):
            marks.append(Path(_disc(across(day), down(chance)), "curve-day"))
    if promise.day:
        marks.extend(_to_promise(across(promise.day), down(_chance_of(promise))))
    for day, anchor, x in ((days[0], "start", LEFT), (days[-1], "end", RIGHT)):
        marks.append(Label(x, FOOT + 60, show_date(day, studio), "note", anchor, LETTERS))
    return Drawing(WIDTH, HEIGHT, tuple(marks), title=_title(promise, studio), kind="curve")


def _chance_of(promise: Promise) -> float:
    """Return how often the day to promise is kept, as the curve is drawn through it."""
    return next(c for c, day in promise.curve if c >= promise.in_hundred / 100)


def _to_promise(x: float, y: float) -> tuple[Path | Label, ...]:
    """Return the mark of the day to promise, its words below the curve where they have room."""
    right = x + 2 * DOT + ROOM < RIGHT
    place = (x + 2 * DOT, y + LETTERS + 6, "start") if right else (x - 2 * DOT, y + 14, "end")
    return (
        Path(line((LEFT, y), (RIGHT, y)), "curve-level"),
        Path(_disc(x, y), "curve-day"),
        Label(place[0], place[1], "to promise", "note", place[2], LETTERS),
    )


def _title(promise: Promise, studio: Studio) -> str:
    told = f"Ready by {show_date(promise.likely, studio)} in 50 of 100 cases"
    if promise.surely:
        told += f", by {show_date(promise.surely, studio)} in 95"
    if promise.day:
        told += f"; to promise is {show_date(promise.day, studio)}"
    return f"{told}."


def _disc(x: float, y: float) -> tuple[Move, ...]:
    corners = [(x + DOT * cos(n * pi / 8), y + DOT * sin(n * pi / 8)) for n in range(16)]
    return (*line(*corners), ("Z",))
