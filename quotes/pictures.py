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
LEVELS = ((0.5, "likely"), (0.95, "surely"))


def promise_curve(promise: Promise, studio: Studio, wanted: date | None) -> Drawing | None:
    """Return the curve of a promise, the day asked for marked on it; None without two days."""
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
    for day, anchor, x in ((days[0], "start", LEFT), (days[-1], "end", RIGHT)):
        marks.append(Label(x, FOOT + 60, show_date(day, studio), "note", anchor, LETTERS))
    return Drawing(WIDTH, HEIGHT, tuple(marks), title=_title(promise, studio), kind="curve")


def _title(promise: Promise, studio: Studio) -> str:
    likely = f"Ready by {show_date(promise.likely, studio)} in 50 of 100 cases"
    if not promise.surely:
        return f"{likely}."
    return f"{likely}, by {show_date(promise.surely, studio)} in 95."


def _disc(x: float, y: float) -> tuple[Move, ...]:
    corners = [(x + DOT * cos(n * pi / 8), y + DOT * sin(n * pi / 8)) for n in range(16)]
    return (*line(*corners), ("Z",))
