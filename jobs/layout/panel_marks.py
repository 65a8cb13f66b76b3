"""One panel as it is drawn on its surface: its ground, its letter, its state, its name."""

from dataclasses import dataclass
from math import cos, pi, sin

from jobs.layout.drawing import Label, Move, Path, line
from jobs.layout.hatch import hatching
from jobs.layout.lettering import is_dark, letters_width, wrap
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


def panel_marks(panel: PanelView, at: tuple[float, float], size: float, board: float) -> Marks:
    """The marks of a panel on a surface with its top-left corner `at` and `board` wide.

    Letters are of `size`.
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
    return marks + _lettering(panel, left, top, size, at[0] + board)


def key(x: float, y: float, size: float, mark: str, state: str) -> Marks:
    """The lettered disc of a panel: rays while it dries, a tick when it is done."""
    radius = key_radius(size)
    role = f"key-{state}" if state in STATES else "key"
    marks: Marks = [Path(ellipse(x, y, radius, radius), role)]
    if state == "drying":
        halo = radius * 1.42
        marks.insert(0, Path(ellipse(x, y, halo, halo), "key-halo"))
        rays: list[Move] = []
        for place in range(16):
            turn = (cos(place * pi / 8), sin(place * pi / 8))
            near, far = radius * 1.1, radius * 1.32
            rays += line(*((x + reach * turn[0], y + reach * turn[1]) for reach in (near, far)))
        marks.append(Path(tuple(rays), "key-rays"))
    if state == "done":
        corners = ((0.72, -0.78), (0.98, -0.5), (1.5, -1.2))
        tick = line(*((x + radius * a, y + radius * b) for a, b in corners))
        marks += [Path(tick, "key-tick-halo"), Path(tick, "key-tick")]
    letters = "key-letter-light" if state in ("working", "done") else "key-letter"
    em = size * (1.0 if len(mark) < 2 else 0.8)
    marks.append(Label(x, y + em * 0.35, mark, letters, size=em))
    return marks


def key_radius(size: float) -> float:
    """Radius of the lettered disc for letters of `size`, in the drawing's units."""
    return size * 0.82


def _lettering(panel: PanelView, left: float, top: float, size: float, board_end: float) -> Marks:
    """The disc in the panel's middle with as much of its name as there is room for below.

    On a frame they stand in the middle of its upper side, or the disc alone near its corner.
    """
    shape = panel.shape
    width, height = shape.width, shape.band if shape.kind == "frame" else shape.height
    x, y = left + width / 2, top + height / 2
    radius = key_radius(size)
    if shape.kind == "frame" and height < 2.3 * radius <= width:
        # It hangs over the outer edge rather than the inner one, but never off the surface.
        y = top + max(height - radius, radius - panel.top)
        return key(left + radius * 1.5, y, size, panel.mark, panel.state)
    if min(width, height) < 2.3 * radius:
        return _beside(panel, left, top, size, board_end)
    within = 0.86 if shape.kind in ("rectangle", "arch", "frame") else 0.64
    spare = height * within - 2 * radius
    told = panel.name if panel.ground else panel.undecided
    room = width * within * (1.0 if panel.ground else 0.86)
    em, lines = size, ()
    for em in (size * 0.82, size * 0.68):
        lines = _whole(told, room, em, min(4, int(spare / (em * 1.25))))
        if lines:
            break
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
    if most < 1:
        return ()
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


def _beside(panel: PanelView, left: float, top: float, size: float, board_end: float) -> Marks:
    """For a panel too small for its disc: the disc to the right of it, with a short leader.

    The disc keeps to the surface, or hangs over its right edge by half.
    """
    radius = key_radius(size)
    right, middle = left + panel.shape.width, top + panel.shape.height / 2
    x, y = min(right + radius * 1.5, max(board_end, right)), middle - radius * 0.35
    deep = panel.shape.band / 2 or panel.shape.width * 0.25
    inner = (right - min(deep, radius), middle)
    leader = Path(line(inner, (x, y)), "key-leader")
    return [leader, *key(x, y, size * 0.9, panel.mark, panel.state)]


def _name_role(panel: PanelView) -> str:
    if not panel.ground:
        return "panel-word"
    return "panel-name-light" if is_dark(panel.ground) else "panel-name-dark"
