"""One panel as it is drawn on its surface: its ground, its letter, its state, its name."""

from dataclasses import dataclass
from math import cos, pi, sin

from jobs.layout.drawing import Label, Move, Path, line
from jobs.layout.hatch import hatching
from jobs.layout.lettering import letters_width, wrap
from jobs.layout.shapes import Shape, complaints, ellipse, moves, outline

Marks = list[Path | Label]
STATES = ("planned", "working", "drying", "done")


@dataclass(frozen=True)
class PanelView:
    """A panel as the elevation shows it, placed on its surface in tenths of a millimetre.

    ground: hex colour, or "" while it is undecided. mark: the letter in its disc, "" to have one
    given. link: where a tap leads. state: one of STATES, or "" when nothing is known of it.
    undecided: the words written into the hatching.
    """

    name: str
    shape: Shape
    left: int
    top: int
    motif: str = ""
    ground: str = ""
    link: str = ""
    state: str = ""
    mark: str = ""
    undecided: str = "ground undecided"


def panel_marks(panel: PanelView, at: tuple[float, float], size: float) -> Marks:
    """The marks of a panel whose surface has its top-left corner `at`; letters of `size`.

    A shape that cannot be painted (see `shapes.complaints`) draws nothing.
    """
    if complaints(panel.shape):
        return []
    left, top = at[0] + panel.left, at[1] + panel.top
    edge = moves(panel.shape, left, top)
    title = f"{panel.mark} {panel.name}".strip()
    if panel.ground:
        marks: Marks = [Path(edge, "panel", panel.ground, title, panel.link)]
    else:
        told = f"{title}: {panel.undecided}"
        strokes = hatching(outline(panel.shape, left, top), size * 0.42, rising=False)
        marks = [
            Path(edge, "panel-undecided", "", told, panel.link),
            Path(strokes, "hatch-undecided"),
        ]
    return marks + _lettering(panel, left, top, size)


def key(x: float, y: float, size: float, mark: str, state: str) -> Marks:
    """The lettered disc of a panel: rays while it dries, a tick when it is done."""
    radius = key_radius(size)
    role = f"key-{state}" if state in STATES else "key"
    marks: Marks = [Path(ellipse(x, y, radius, radius), role)]
    if state == "drying":
        rays: list[Move] = []
        for place in range(16):
            turn = (cos(place * pi / 8), sin(place * pi / 8))
            near, far = radius * 1.1, radius * 1.32
            rays += line(*((x + reach * turn[0], y + reach * turn[1]) for reach in (near, far)))
        marks.append(Path(tuple(rays), "key-rays"))
    if state == "done":
        corners = ((1.15, -0.55), (1.4, -0.25), (1.9, -1.0))
        tick = line(*((x + radius * a, y + radius * b) for a, b in corners))
        marks.append(Path(tick, "key-tick"))
    letters = "key-letter-light" if state in ("working", "done") else "key-letter"
    em = size * (1.0 if len(mark) < 2 else 0.8)
    marks.append(Label(x, y + em * 0.35, mark, letters, size=em))
    return marks


def key_radius(size: float) -> float:
    return size * 0.82


def _lettering(panel: PanelView, left: float, top: float, size: float) -> Marks:
    """The disc in the panel's middle with as much of its name as there is room for below."""
    shape = panel.shape
    x, y = left + shape.width / 2, top + shape.height / 2
    radius = key_radius(size)
    if min(shape.width, shape.height) < 2.3 * radius:
        return _beside(panel, left, top, size)
    room = shape.width * (0.8 if shape.kind in ("rectangle", "arch") else 0.62)
    spare = shape.height * (0.8 if shape.kind in ("rectangle", "arch") else 0.62) - 2 * radius
    em, lines = size * 0.82, ()
    most = min(3, int(spare / (em * 1.25)))
    told = panel.name if panel.ground else panel.undecided
    if most >= 1 and max(map(len, told.split()), default=0) * em * 0.6 <= room:
        lines = _whole(told, room, em, most)
    y -= len(lines) * em * 0.625
    marks = _plate(lines, x, y + radius, em) if not panel.ground else []
    marks += key(x, y, size, panel.mark, panel.state)
    base = y + radius + em * 0.1
    for text in lines:
        base += em * 1.25
        marks.append(Label(x, base, text, _name_role(panel), size=em))
    return marks


def _whole(text: str, room: float, em: float, most: int) -> tuple[str, ...]:
    """`text` in lines, or none at all where it would have to be cut: the list has it in full."""
    lines = wrap(text, room, em, most)
    return () if any(piece.endswith("…") for piece in lines) else lines


def _plate(lines: tuple[str, ...], x: float, top: float, em: float) -> Marks:
    """A light ground for words that stand in hatching."""
    if not lines:
        return []
    half = max(letters_width(text, em) for text in lines) / 2 + em * 0.3
    high = len(lines) * em * 1.25 + em * 0.5
    corners = ((x - half, top), (x + half, top), (x + half, top + high), (x - half, top + high))
    return [Path((*line(*corners), ("Z",)), "panel-plate")]


def _beside(panel: PanelView, left: float, top: float, size: float) -> Marks:
    """For a panel too small for its disc: the disc at its upper right corner, with a leader."""
    radius = key_radius(size)
    corner = (left + panel.shape.width * 0.75, top + panel.shape.height * 0.3)
    x, y = left + panel.shape.width + radius * 0.9, top - radius * 0.7
    leader = Path(line(corner, (x, y)), "key-leader")
    return [leader, *key(x, y, size * 0.9, panel.mark, panel.state)]


def _name_role(panel: PanelView) -> str:
    if not panel.ground:
        return "panel-word"
    return "panel-name-light" if is_dark(panel.ground) else "panel-name-dark"


def is_dark(colour: str) -> bool:
    """Whether light letters read better on a hex colour than dark ones (WCAG 2 luminance)."""
    digits = colour.lstrip("#")
    if len(digits) == 3:
        digits = "".join(2 * digit for digit in digits)
    try:
        parts = [int(digits[place : place + 2], 16) / 255 for place in (0, 2, 4)]
    except ValueError:
        return False
    red, green, blue = (
        part / 12.92 if part <= 0.04045 else ((part + 0.055) / 1.055) ** 2.4 for part in parts
    )
    return 0.2126 * red + 0.7152 * green + 0.0722 * blue < 0.19
