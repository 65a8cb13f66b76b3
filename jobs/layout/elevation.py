"""The piece in elevation: its faces side by side to one scale, each panel in its place.

Lengths are tenths of a millimetre of the real piece. A surface lies on its face, a panel on its
surface, each counted from the top-left corner of what carries it.
"""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from string import ascii_uppercase

from jobs.layout.drawing import Drawing, Label, Path, box
from jobs.layout.hatch import grain
from jobs.layout.legend import Legend, Words, legend
from jobs.layout.lettering import letters_width, wrap
from jobs.layout.panel_marks import PanelView, panel_marks

Marks = list[Path | Label]
PAGE = (50, 27)
"""How many letter heights a page is wide and a screen high: the picture fits into both."""


@dataclass(frozen=True)
class SurfaceView:
    """One surface on its face. `link` is where a tap on the bare wood leads, "" for nowhere."""

    name: str
    width: int
    height: int
    left: int = 0
    top: int = 0
    removable: bool = False
    panels: tuple[PanelView, ...] = ()
    link: str = ""


@dataclass(frozen=True)
class Face:
    """One side of the piece, seen square on."""

    name: str
    surfaces: tuple[SurfaceView, ...]

    @property
    def extent(self) -> tuple[int, int, int, int]:
        """(left, top, width, height) of all its surfaces together."""
        if not self.surfaces:
            return 0, 0, 0, 0
        left = min(surface.left for surface in self.surfaces)
        top = min(surface.top for surface in self.surfaces)
        right = max(surface.left + surface.width for surface in self.surfaces)
        bottom = max(surface.top + surface.height for surface in self.surfaces)
        return left, top, right - left, bottom - top


@dataclass(frozen=True)
class _Cell:
    """A face with the room it takes in the picture, and where."""

    face: Face
    width: float
    caption: tuple[str, ...]
    notes: tuple[str, ...]
    left: float = 0
    top: float = 0


def marked(faces: Sequence[Face]) -> tuple[Face, ...]:
    """The faces with a letter on every panel that has none: A to Z, then A1, B1, ...

    Call it before `elevation` when a list beside the picture is to use the same letters.
    """
    taken = {panel.mark for face in faces for s in face.surfaces for panel in s.panels}
    free = (letter for letter in _letters() if letter not in taken)
    return tuple(
        replace(
            face,
            surfaces=tuple(
                replace(
                    surface,
                    panels=tuple(
                        panel if panel.mark else replace(panel, mark=next(free))
                        for panel in surface.panels
                    ),
                )
                for surface in face.surfaces
            ),
        )
        for face in faces
    )


def elevation(
    faces: Sequence[Face],
    *,
    title: str = "The piece in elevation",
    unit: str = "cm",
    words: Words | None = None,
) -> Drawing:
    """Every face to one scale with its caption, panels lettered, a scale bar and a legend.

    faces: those without a surface are left out. unit: "cm" or "in", for the scale bar.
    words: the language of the page. With nothing to draw the drawing says so.
    """
    words = words or Words()
    shown = [face for face in marked(faces) if min(face.extent[2:]) > 0]
    if not shown:
        empty = Label(1000, 320, words.nothing, "note", size=64)
        return Drawing(2000, 600, (empty,), f"{title}: {words.nothing}", "elevation")
    rows = _rows(shown)
    size = _letter_size(rows)
    cells, width, height = _arrange(rows, size)
    marks: Marks = []
    for cell in cells:
        marks += _face_marks(cell, size)
    panels = [panel for face in shown for surface in face.surfaces for panel in surface.panels]
    margin = size * 1.2
    foot = legend(Legend(unit, words, size, margin, height + size, width - 2 * margin), panels)
    marks += foot.marks
    width = max(width, foot.width + 2 * margin)
    return Drawing(
        width, foot.bottom + margin, tuple(marks), _told(title, shown, words), "elevation"
    )


def _letters() -> list[str]:
    suffixes = ["", *map(str, range(1, 100))]
    return [letter + suffix for suffix in suffixes for letter in ascii_uppercase]


def _rows(faces: list[Face]) -> list[list[Face]]:
    """The faces in rows, in order, so that they come out as large as a page lets them."""
    whole = sum(face.extent[2] for face in faces)
    choices = []
    for count in range(1, len(faces) + 1):
        rows: list[list[Face]] = [[]]
        for place, face in enumerate(faces):
            across = sum(other.extent[2] for other in rows[-1])
            full = across + face.extent[2] / 2 > whole / count
            if rows[-1] and (full or len(faces) - place == count - len(rows)) and len(rows) < count:
                rows.append([])
            rows[-1].append(face)
        width, height = _bare(rows)
        choices.append((max(width / PAGE[0], height / PAGE[1]), count, rows))
    return min(choices, key=lambda choice: choice[:2])[2]


def _bare(rows: list[list[Face]]) -> tuple[float, float]:
    """Width and height of the rows with air between faces but without lettering."""
    width = max(sum(face.extent[2] for face in row) * (1 + 0.06 * (len(row) - 1)) for row in rows)
    height = sum(max(face.extent[3] for face in row) for row in rows)
    return width, height * (1 + 0.08 * (len(rows) - 1))


def _letter_size(rows: list[list[Face]]) -> float:
    """Letters that are read when the whole picture is as wide as a page or as high as a screen."""
    width, height = _bare(rows)
    return max(width / PAGE[0], height / PAGE[1])


def _arrange(rows: list[list[Face]], size: float) -> tuple[list[_Cell], float, float]:
    """The cells in their places, and the width and height they take with a margin round them."""
    gap, margin = size * 2, size * 1.2
    lines = [[_cell(face, size) for face in row] for row in rows]
    widths = [sum(cell.width for cell in line) + gap * (len(line) - 1) for line in lines]
    whole = max(max(widths), size * 22)
    placed: list[_Cell] = []
    top = margin
    for line, width in zip(lines, widths, strict=True):
        left = margin + (whole - width) / 2
        tallest = max(cell.face.extent[3] for cell in line)
        for cell in line:
            drop = tallest - cell.face.extent[3]
            placed.append(replace(cell, left=left, top=top + drop))
            left += cell.width + gap
        words = max(1.4 * len(cell.caption) + 1.2 * len(cell.notes) for cell in line)
        top += tallest + size * (words + 1.6)
    return placed, whole + 2 * margin, top - size * 0.6


def _cell(face: Face, size: float) -> _Cell:
    width = max(float(face.extent[2]), size * 8)
    caption = wrap(face.name, width, size * 1.15)
    hidden = [s.name for s in face.surfaces if _name_base(s, size) is None and s.name != face.name]
    return _Cell(face, width, caption, wrap(" · ".join(hidden), width, size * 0.85, 3))


def _face_marks(cell: _Cell, size: float) -> Marks:
    left, top, width, height = cell.face.extent
    x = cell.left + (cell.width - width) / 2
    marks: Marks = []
    if len(cell.face.surfaces) > 1:
        marks.append(Path(box(x, cell.top, width, height), "carcass"))
    for surface in cell.face.surfaces:
        alone = surface.name == cell.face.name
        at = (x + surface.left - left, cell.top + surface.top - top)
        marks += _surface_marks(surface, at, size, lettered=not alone)
    middle, base = cell.left + cell.width / 2, cell.top + height + size * 0.4
    for text in cell.caption:
        base += size * 1.4
        marks.append(Label(middle, base, text, "caption", size=size * 1.15))
    for text in cell.notes:
        base += size * 1.2
        marks.append(Label(middle, base, text, "note", size=size * 0.85))
    return marks


def _surface_marks(
    surface: SurfaceView, at: tuple[float, float], size: float, lettered: bool
) -> Marks:
    x, y = at
    role = "board-removable" if surface.removable else "board"
    if min(surface.width, surface.height) <= 0:
        return []
    marks: Marks = [
        Path(box(x, y, surface.width, surface.height), role, "", surface.name, surface.link)
    ]
    count = max(4, min(24, round(min(surface.width, surface.height) / size * 2)))
    marks.append(Path(grain(x, y, surface.width, surface.height, surface.name, count), "grain"))
    inset = size * 0.22
    if surface.removable and min(surface.width, surface.height) > 6 * inset:
        inner = box(x + inset, y + inset, surface.width - 2 * inset, surface.height - 2 * inset)
        marks.append(Path(inner, "board-edge"))
    base = _name_base(surface, size)
    if lettered and base is not None:
        name = Label(x + surface.width / 2, y + base, surface.name, "board-name", size=size * 0.9)
        marks.append(name)
    # Frames last: a picture inside one is not covered, and does not cover its letter.
    for panel in sorted(surface.panels, key=lambda panel: panel.shape.kind == "frame"):
        marks += panel_marks(panel, at, size, surface.width)
    return marks


def _name_base(surface: SurfaceView, size: float) -> float | None:
    """The baseline of the surface's name in a free strip at its foot or head, None without one."""
    if letters_width(surface.name, size * 0.9) > surface.width - size:
        return None
    lowest = max((panel.top + panel.shape.height for panel in surface.panels), default=0)
    highest = min((panel.top for panel in surface.panels), default=surface.height)
    if surface.height - lowest >= size * 1.7:
        return surface.height - size * 0.65
    return size * 1.2 if highest >= size * 1.7 else None


def _told(title: str, faces: list[Face], words: Words) -> str:
    """The picture in words for someone who cannot see it."""
    told = []
    for face in faces:
        for surface in face.surfaces:
            names = [f"{panel.mark} {panel.name}" for panel in surface.panels]
            told.append(f"{surface.name}: {', '.join(names) or words.bare}")
    return f"{title}. {'; '.join(told)}"
