"""A drawing on paper, to a stated scale, in looks that keep their meaning in black and white."""

from dataclasses import dataclass
from fractions import Fraction
from math import ceil

from reportlab.lib.colors import Color
from reportlab.lib.styles import ParagraphStyle
from reportlab.pdfgen.canvas import Canvas
from reportlab.pdfgen.pathobject import PDFPathObject
from reportlab.platypus import Flowable

from jobs.layout.drawing import Drawing, Label, Path
from quotes.pdf import fonts
from quotes.pdf.ink import GESSO, INK, LINE, LINEN, PAPER, UMBER, VERDIGRIS, WOOD, ink_of

POINTS_PER_TENTH = 72 / 254
"""Points in a tenth of a millimetre: 72 points are an inch, an inch is 25.4 mm exactly."""

SCALES = (
    *(Fraction(1), Fraction(5, 4), Fraction(3, 2), Fraction(2), Fraction(5, 2)),
    *map(
        Fraction, (3, 4, 5, 6, 8, 10, 12, 15, 20, 25, 30, 40, 50, 60, 75, 100, 150, 200, 500, 1000)
    ),
)
"""Reductions that read well, none much coarser than the last; ISO 5455 has 1, 2, 5, 10, 20, ..."""

USUAL_LETTERS = 7.0
"""Points, for a label without a size of its own."""


@dataclass(frozen=True)
class Look:
    """How an outline is inked: widths in points; a filled role takes the path's own fill first."""

    stroke: Color | None = UMBER
    width: float = 0.5
    fill: Color | None = None
    dash: tuple[float, ...] = ()


@dataclass(frozen=True)
class Lettering:
    """How a label is lettered."""

    colour: Color = INK
    font: str = fonts.REGULAR


LOOKS: dict[str, Look] = {
    "carcass": Look(INK, 0.8, LINEN),
    "board": Look(UMBER, 0.6, WOOD),
    "board-removable": Look(UMBER, 0.6, WOOD),
    "board-edge": Look(UMBER, 0.35),
    "grain": Look(ink_of("#c9ab80"), 0.3),
    "panel": Look(INK, 0.7, GESSO),
    "panel-undecided": Look(INK, 0.7, PAPER, (3, 2)),
    "hatch-undecided": Look(UMBER, 0.35),
    "panel-plate": Look(None, 0, PAPER),
    "key": Look(INK, 0.6, PAPER),
    "key-planned": Look(INK, 0.6, PAPER),
    "key-working": Look(INK, 0.6, INK),
    "key-drying": Look(INK, 0.6, PAPER),
    "key-done": Look(INK, 0.6, INK),
    "key-halo": Look(None, 0, PAPER),
    "key-rays": Look(INK, 0.5),
    "key-tick-halo": Look(PAPER, 2.6),
    "key-tick": Look(INK, 0.9),
    "key-leader": Look(INK, 0.5),
    "wood": Look(UMBER, 0.5, WOOD),
    "coat-done": Look(INK, 0.5, GESSO),
    "coat-drying": Look(INK, 0.5, GESSO),
    "coat-working": Look(INK, 0.5, GESSO),
    "coat-planned": Look(UMBER, 0.5, None, (3, 2)),
    "hatch-drying": Look(INK, 0.35),
    "hatch-drying-light": Look(PAPER, 0.35),
    "label-plate": Look(None, 0, PAPER),
    "leader": Look(UMBER, 0.35),
    "construction-edge": Look(INK, 0.7),
    "construction-line": Look(UMBER, 0.35),
    "construction-circle": Look(VERDIGRIS, 0.7),
    "construction-circle-over": Look(VERDIGRIS, 0.5, None, (2, 2)),
    "construction-point": Look(None, 0, INK),
    "curve-axis": Look(INK, 0.5),
    "curve-middle": Look(LINE, 0.5),
    "curve-before": Look(UMBER, 0.7, None, (3, 2)),
    "curve-after": Look(VERDIGRIS, 1.1),
    "curve-seen": Look(UMBER, 0.7),
    "curve": Look(VERDIGRIS, 0.8),
    "curve-level": Look(UMBER, 0.35),
    "curve-day": Look(None, 0, INK),
    "curve-wanted": Look(INK, 0.5, None, (3, 2)),
    "scale-bar": Look(INK, 0.6),
    "scale-bar-fill": Look(INK, 0.6, INK),
}
UNKNOWN = Look(UMBER, 0.4)
"""A thin outline for a role that this table does not know yet."""

LETTERINGS: dict[str, Lettering] = {
    "caption": Lettering(INK, fonts.BOLD),
    "note": Lettering(UMBER),
    "label": Lettering(INK),
    "board-name": Lettering(UMBER, fonts.ITALIC),
    "panel-name-dark": Lettering(INK),
    "panel-name-light": Lettering(PAPER),
    "panel-word": Lettering(INK, fonts.ITALIC),
    "key-letter": Lettering(INK, fonts.BOLD),
    "key-letter-light": Lettering(PAPER, fonts.BOLD),
    "scale-label": Lettering(UMBER),
}


def scale_for(drawing: Drawing, width: float, height: float) -> Fraction:
    """The reduction, as n of 1:n, at which the drawing fits into width x height points."""
    needed = max(drawing.width / width, drawing.height / height) * POINTS_PER_TENTH
    # A thousandth of give, so that the last digit does not halve a drawing that fits exactly.
    for scale in SCALES:
        if needed <= scale * 1.001:
            return scale
    return Fraction(1000 * ceil(needed / 1000))


def scale_text(scale: Fraction) -> str:
    """The scale in whole numbers, the same in every language: "1:10", "2:5"."""
    return f"{scale.denominator}:{scale.numerator}"


def draw(canvas: Canvas, drawing: Drawing, left: float, top: float, scale: Fraction) -> None:
    """Draw at 1:scale with the drawing's top-left corner at (left, top), both in points.

    The canvas measures upwards from the foot of the page. Raises MissingLettersError for a label
    that cannot be printed.
    """
    factor = POINTS_PER_TENTH / float(scale)
    canvas.saveState()
    canvas.setLineJoin(1)
    canvas.setLineCap(1)
    for mark in drawing.marks:
        if isinstance(mark, Path):
            _ink(canvas, mark, left, top, factor)
        else:
            _letter(canvas, mark, left, top, factor)
    canvas.restoreState()


def _ink(canvas: Canvas, path: Path, left: float, top: float, factor: float) -> None:
    look = LOOKS.get(path.role, UNKNOWN)
    fill = ink_of(path.fill) if path.fill else look.fill
    if fill is not None:
        canvas.setFillColor(fill)
    if look.stroke is not None:
        canvas.setStrokeColor(look.stroke)
        canvas.setLineWidth(look.width)
        canvas.setDash(*((list(look.dash),) if look.dash else ()))
    outline = canvas.beginPath()
    for kind, *numbers in path.moves:
        _move(outline, kind, _on_page(numbers, left, top, factor))
    canvas.drawPath(outline, stroke=int(look.stroke is not None), fill=int(fill is not None))


def _move(outline: PDFPathObject, kind: str, points: list[float]) -> None:
    if kind == "M":
        outline.moveTo(*points)
    elif kind == "L":
        outline.lineTo(*points)
    elif kind == "C":
        outline.curveTo(*points)
    elif kind == "Z":
        outline.close()
    else:
        raise ValueError(f"A drawing has the moves M, L, C and Z, not {kind}.")


def _on_page(numbers: list[float], left: float, top: float, factor: float) -> list[float]:
    return [
        top - value * factor if place % 2 else left + value * factor
        for place, value in enumerate(numbers)
    ]


def _letter(canvas: Canvas, label: Label, left: float, top: float, factor: float) -> None:
    look = LETTERINGS.get(label.role, LETTERINGS["label"])
    size = label.size * factor or USUAL_LETTERS
    canvas.setFont(look.font, size)
    canvas.setFillColor(look.colour)
    x, y = _on_page([label.x, label.y], left, top, factor)
    text = fonts.printable(label.text)
    place = {
        "start": canvas.drawString,
        "middle": canvas.drawCentredString,
        "end": canvas.drawRightString,
    }
    place[label.anchor](x, y, text)


class ScaledDrawing(Flowable):
    """A drawing in the flow of a page with its scale beneath, as large as the room allows.

    On a page with less than `tallest` points left it is drawn smaller, down to `least`; with less
    than that it goes to the next page. `caption` is a template with {scale}.
    """

    CAPTION_ROOM = 16

    def __init__(
        self, drawing: Drawing, caption: str, style: ParagraphStyle, *, tallest: float, least: float
    ) -> None:
        super().__init__()
        self.drawing = drawing
        self.caption = caption
        self.style = style
        self.tallest = tallest
        self.least = least
        self.scale = Fraction(1)

    def room_needed(self, width: float) -> float:
        """The height in points below which it asks for a new page."""
        return min(self._height(scale_for(self.drawing, width, self.tallest)), self.least)

    def wrap(self, available_width: float, available_height: float) -> tuple[float, float]:
        room = available_height - self.CAPTION_ROOM
        self.scale = scale_for(self.drawing, available_width, self.tallest)
        if self.least <= room < self.tallest:
            self.scale = scale_for(self.drawing, available_width, room)
        return available_width, self._height(self.scale)

    def draw(self) -> None:
        top = self._height(self.scale)
        draw(self.canv, self.drawing, 0, top, self.scale)
        text = fonts.printable(self.caption.format(scale=scale_text(self.scale)))
        self.canv.setFont(self.style.fontName, self.style.fontSize)
        self.canv.setFillColor(self.style.textColor)
        self.canv.drawString(0, 4, text)

    def _height(self, scale: Fraction) -> float:
        return self.drawing.height * POINTS_PER_TENTH / float(scale) + self.CAPTION_ROOM
