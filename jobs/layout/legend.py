"""The foot of an elevation: a scale bar, and what its marks mean."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field

from shapely import box as rectangle

from jobs.layout.drawing import Label, Path, box
from jobs.layout.hatch import hatching
from jobs.layout.lettering import letters_width
from jobs.layout.panel_marks import STATES, PanelView, key

CENTIMETRE, INCH = 100, 254
LENGTHS = {
    "cm": (CENTIMETRE, "cm", (1, 2, 5, 10, 20, 50, 100, 200, 500)),
    "in": (INCH, "in", (0.5, 1, 2, 4, 6, 12, 24, 48, 96, 192)),
}
"""Lengths a scale bar may have, in the unit with its size in tenths of a millimetre."""

STATE_WORDS: Mapping[str, str] = {
    "planned": "not begun",
    "working": "under way",
    "drying": "drying",
    "done": "finished",
}


@dataclass(frozen=True)
class Words:
    """What the elevation says, so that a page can say it in another language."""

    undecided: str = "ground undecided"
    nothing: str = "no surfaces yet"
    bare: str = "no panel"
    states: Mapping[str, str] = field(default_factory=lambda: STATE_WORDS)


@dataclass(frozen=True)
class Legend:
    """Where the foot stands: letters of `size`, from (`left`, `top`), to be `room` wide."""

    unit: str
    words: Words
    size: float
    left: float
    top: float
    room: float


@dataclass(frozen=True)
class Foot:
    """The finished foot with the width it took and its lower edge."""

    marks: tuple[Path | Label, ...]
    width: float
    bottom: float


def scale_length(room: float, unit: str) -> tuple[float, str]:
    """The longest round length not over `room`, in tenths of a millimetre, with its words."""
    tenths, name, choices = LENGTHS[unit]
    count = max((choice for choice in choices if choice * tenths <= room), default=choices[0])
    return count * tenths, f"{count:g} {name}"


def legend(place: Legend, panels: Sequence[PanelView]) -> Foot:
    """A scale bar, then a sample with its words for each mark that occurs in `panels`."""
    size, em = place.size, place.size * 0.85
    base = place.top + size
    length, told = scale_length(max(place.room * 0.2, size * 4), place.unit)
    x = place.left
    marks: list[Path | Label] = [
        Path(box(x, base - size * 0.42, length, size * 0.28), "scale-bar"),
        Path(box(x, base - size * 0.42, length / 2, size * 0.28), "scale-bar-fill"),
        Label(x + length + size * 0.5, base, told, "scale-label", "start", em),
    ]
    x += length + size * 2.2 + letters_width(told, em)
    widest = x
    for state, words in _samples(place.words, panels):
        needed = size * 2.8 + letters_width(words, em)
        if x + needed > place.left + place.room and x > place.left:
            x, base = place.left, base + size * 2.1
        marks += _sample(state, x, base, size)
        marks.append(Label(x + size * 2.8, base, words, "note", "start", em))
        x += needed + size * 1.1
        widest = max(widest, x - size * 1.1)
    return Foot(tuple(marks), widest - place.left, base + size * 0.6)


def _samples(words: Words, panels: Sequence[PanelView]) -> list[tuple[str, str]]:
    found = [("undecided", words.undecided)] if any(not panel.ground for panel in panels) else []
    seen = {panel.state for panel in panels}
    return found + [(state, words.states[state]) for state in STATES if state in seen]


def _sample(state: str, x: float, base: float, size: float) -> list[Path | Label]:
    left, top, width, height = x, base - size * 1.02, size * 2.2, size * 1.44
    if state != "undecided":
        chip = Path(box(left, top, width, height), "board")
        return [chip, *key(x + width / 2, top + height / 2, size * 0.56, "", state)]
    strokes = hatching(rectangle(left, top, left + width, top + height), size * 0.42, rising=False)
    return [
        Path(box(left, top, width, height), "panel-undecided"),
        Path(strokes, "hatch-undecided"),
    ]
