"""Parts that the bench sheet and the care sheet share."""

from collections.abc import Callable
from fractions import Fraction

from reportlab.lib.units import mm
from reportlab.platypus import CondPageBreak, Flowable, Spacer, Table

from jobs.layout.drawing import Drawing
from quotes.pdf.bench_sheet import BenchSheet, CautionPaper
from quotes.pdf.care_sheet import CareSheet
from quotes.pdf.drawing import POINTS_PER_TENTH, draw
from quotes.pdf.ink import INK, PAPER, UMBER
from quotes.pdf.paper import PageSize, PaperFacts, build, columns, styles, words

_BOX, _BOX_GAP = 9.0, 4.0


def built_sheet[Sheet: (BenchSheet, CareSheet)](
    sheet: Sheet, story: Callable[[Sheet, float], list[Flowable]], page_size: PageSize
) -> bytes:
    """A sheet as a PDF: `story` sets it on pages of the width given, in points."""
    name = f"{sheet.words.sheet} {sheet.number}"
    facts = PaperFacts(
        title=f"{name}: {sheet.title}",
        author=sheet.studio_name,
        subject=name,
        language=sheet.language,
        running=f"{sheet.studio_name} · {sheet.title}",
        foot=f"{name} · {sheet.client_name}",
        page_words=sheet.words.page,
    )
    return build(lambda width: story(sheet, width), facts, page_size)


class FittedDrawing(Flowable):
    """A drawing that is not to scale, as wide as given and no higher than `tallest` (points)."""

    def __init__(self, drawing: Drawing, width: float, tallest: float) -> None:
        super().__init__()
        self.drawing = drawing
        reduction = max(drawing.width / width, drawing.height / tallest) * POINTS_PER_TENTH
        self.scale = Fraction(reduction).limit_denominator(10_000)

    def wrap(self, available_width: float, available_height: float) -> tuple[float, float]:
        factor = POINTS_PER_TENTH / float(self.scale)
        return self.drawing.width * factor, self.drawing.height * factor

    def draw(self) -> None:
        _, height = self.wrap(0, 0)
        draw(self.canv, self.drawing, 0, height, self.scale)


class WholeRows(Table):
    """A table whose rows are cut by a page's end only where a page is too short for one."""

    MOST_LEFT_EMPTY = 400.0
    """Points at a page's foot beyond which a row is cut rather than taken to the next page."""

    def split(self, available_width: float, available_height: float) -> list[Flowable]:
        self.splitInRow = int(available_height > self.MOST_LEFT_EMPTY)
        return super().split(available_width, available_height)


class TickBoxes(Flowable):
    """A box to tick for each coat, the first `done` of them ticked; four in a row."""

    IN_A_ROW = 4

    def __init__(self, count: int, done: int) -> None:
        super().__init__()
        self.count = count
        self.done = done

    def wrap(self, available_width: float, available_height: float) -> tuple[float, float]:
        rows = -(-self.count // self.IN_A_ROW)
        return self.IN_A_ROW * (_BOX + _BOX_GAP), rows * (_BOX + _BOX_GAP)

    def draw(self) -> None:
        _, height = self.wrap(0, 0)
        self.canv.setLineCap(1)
        for place in range(self.count):
            row, column = divmod(place, self.IN_A_ROW)
            left = column * (_BOX + _BOX_GAP)
            foot = height - row * (_BOX + _BOX_GAP) - _BOX - 1
            self.canv.setStrokeColor(INK)
            self.canv.setFillColor(PAPER)
            self.canv.setLineWidth(0.8)
            self.canv.rect(left, foot, _BOX, _BOX, stroke=1, fill=1)
            if place < self.done:
                self.canv.setLineWidth(1.4)
                self.canv.lines(
                    [
                        (left + 2, foot + 4.5, left + 4, foot + 2),
                        (left + 4, foot + 2, left + 7.5, foot + 7.5),
                    ]
                )


def caution_section(
    title: str, deferring: str, cautions: tuple[CautionPaper, ...], width: float
) -> list[Flowable]:
    """The cautions in full under their heading and what they defer to; nothing without any."""
    if not cautions:
        return []
    look = styles()
    table = columns(
        [
            [[words(caution.title, look.strong), words(caution.text, look.small)]]
            for caution in cautions
        ],
        [width],
        ("LEFTPADDING", (0, 0), (-1, -1), 5 * mm),
        ("TOPPADDING", (0, 0), (-1, -1), 2),
        ("BOTTOMPADDING", (0, 0), (-1, -1), 4),
        ("LINEBEFORE", (0, 0), (0, -1), 2, UMBER),
        kind=WholeRows,
    )
    opening: list[Flowable] = [CondPageBreak(110), words(title, look.section)]
    if deferring.strip():
        opening += [words(deferring, look.label), Spacer(1, 4)]
    return [*opening, table]
