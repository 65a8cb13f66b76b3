"""The page that all the studio's papers share: heading, running head, foot, styles, building."""

import io
from bisect import bisect_right
from collections.abc import Callable
from dataclasses import dataclass
from functools import cache
from typing import Literal
from xml.sax.saxutils import escape

from reportlab.lib.enums import TA_RIGHT
from reportlab.lib.pagesizes import A4, LETTER
from reportlab.lib.styles import ParagraphStyle
from reportlab.lib.units import mm
from reportlab.pdfgen.canvas import Canvas
from reportlab.platypus import (
    BaseDocTemplate,
    Flowable,
    Frame,
    NextPageTemplate,
    PageTemplate,
    Paragraph,
    Table,
    TableStyle,
)

from quotes.pdf import fonts
from quotes.pdf.ink import INK, LINE, UMBER, VERDIGRIS

PageSize = Literal["A4", "Letter"]
SIZES: dict[PageSize, tuple[float, float]] = {"A4": A4, "Letter": LETTER}
SIDE, HEAD, FOOT = 23 * mm, 18 * mm, 24 * mm
RUNNING_HEAD = 9 * mm


@dataclass(frozen=True)
class PaperFacts:
    """What stands on every page and in the file's own description.

    `running` stands at the head of every page after the first, `foot` at the foot of all, beside
    `page_words`, a template with {page} and {pages}. `language` is a BCP 47 tag ("en-GB").
    """

    title: str
    author: str
    subject: str
    language: str
    running: str
    foot: str
    page_words: str = "Page {page} of {pages}"


@dataclass(frozen=True)
class Styles:
    """The paragraph styles of the papers."""

    studio: ParagraphStyle
    title: ParagraphStyle
    lead: ParagraphStyle
    section: ParagraphStyle
    piece: ParagraphStyle
    strong: ParagraphStyle
    body: ParagraphStyle
    small: ParagraphStyle
    label: ParagraphStyle
    close: ParagraphStyle
    aside: ParagraphStyle


@cache
def styles() -> Styles:
    """The styles, made once; registers the fonts."""
    fonts.register()
    body = ParagraphStyle(
        "body", fontName=fonts.REGULAR, fontSize=9.5, leading=14, textColor=INK, splitLongWords=1
    )

    def like(name: str, **changes: object) -> ParagraphStyle:
        return ParagraphStyle(name, parent=body, **changes)

    return Styles(
        studio=like("studio", fontSize=17, leading=21),
        title=like("title", fontSize=23, leading=29),
        lead=like("lead", fontSize=12.5, leading=17.5, textColor=UMBER),
        section=like(
            "section",
            fontName=fonts.BOLD,
            fontSize=11.5,
            leading=15,
            textColor=VERDIGRIS,
            spaceBefore=20,
            spaceAfter=6,
            keepWithNext=1,
        ),
        piece=like("piece", fontName=fonts.BOLD, fontSize=12, leading=16, keepWithNext=1),
        strong=like("strong", fontName=fonts.BOLD),
        body=body,
        small=like("small", fontSize=8.3, leading=12),
        label=like("label", fontSize=8.3, leading=12, textColor=UMBER),
        close=like("close", fontSize=8.3, leading=10.6),
        aside=like("aside", fontSize=8.3, leading=12, textColor=UMBER, alignment=TA_RIGHT),
    )


def words(text: str, style: ParagraphStyle) -> Paragraph:
    """Text as a paragraph; its line breaks are kept, and nothing in it is taken for mark-up.

    Raises MissingLettersError where the text has letters that the paper cannot print.
    """
    return Paragraph(escape(fonts.printable(text)).replace("\n", "<br/>"), style)


def stack(lines: tuple[str, ...], style: ParagraphStyle) -> list[Paragraph]:
    """Lines one under another, empty ones left out."""
    return [words(line, style) for line in lines if line.strip()]


def led(lead: str, text: str, style: ParagraphStyle) -> Paragraph:
    """A paragraph whose first words, `lead`, are bold. Raises as `words` does."""
    bold, rest = (escape(fonts.printable(each)).replace("\n", "<br/>") for each in (lead, text))
    return Paragraph(f'<font name="{fonts.BOLD}">{bold}</font> {rest}'.rstrip(), style)


def columns(
    rows: list[list[object]],
    widths: list[float],
    *commands: tuple[object, ...],
    repeat: int = 0,
    kind: type[Table] = Table,
) -> Table:
    """A table of plain cells without rules or padding, to which `commands` add."""
    plain = [
        # Even an empty cell names its font in the file, and that font must be an embedded one.
        ("FONTNAME", (0, 0), (-1, -1), fonts.REGULAR),
        ("VALIGN", (0, 0), (-1, -1), "TOP"),
        ("LEFTPADDING", (0, 0), (-1, -1), 0),
        ("RIGHTPADDING", (0, 0), (-1, -1), 0),
        ("TOPPADDING", (0, 0), (-1, -1), 0),
        ("BOTTOMPADDING", (0, 0), (-1, -1), 0),
    ]
    return kind(
        rows,
        colWidths=widths,
        style=TableStyle([*plain, *commands]),
        repeatRows=repeat,
        splitInRow=1,
        hAlign="LEFT",
    )


def heading(name: str, lines: tuple[str, ...], width: float) -> Table:
    """The studio's heading: its name on the left, its address on the right, a rule beneath."""
    look = styles()
    return columns(
        [[words(name, look.studio), stack(lines, look.aside) or ""]],
        [width * 0.6, width * 0.4],
        ("VALIGN", (0, 0), (-1, -1), "BOTTOM"),
        ("BOTTOMPADDING", (0, 0), (-1, -1), 8),
        ("LINEBELOW", (0, 0), (-1, -1), 0.9, VERDIGRIS),
    )


class Bookmark(Flowable):
    """An entry of the file's outline that leads to where it stands; takes no room."""

    def __init__(self, text: str, level: int = 0) -> None:
        super().__init__()
        self.text = text
        self.level = level
        self.keepWithNext = 1

    def wrap(self, available_width: float, available_height: float) -> tuple[float, float]:
        return 0, 0

    def draw(self) -> None:
        key = f"{self.level}-{self.canv.getPageNumber()}-{self.text}"
        self.canv.bookmarkHorizontal(key, 0, 14)
        self.canv.addOutlineEntry(self.text, key, self.level)


def build(
    story: Callable[[float], list[Flowable]], facts: PaperFacts, page_size: PageSize = "A4"
) -> bytes:
    """The PDF of a story, which is made for the width of the text in points.

    Built twice, since 'page x of y' needs the number of pages; the same input gives the same bytes.
    """
    pages, _ = _built(story, facts, SIZES[page_size], pages=1)
    return _built(story, facts, SIZES[page_size], pages=pages)[1]


def _built(
    story: Callable[[float], list[Flowable]],
    facts: PaperFacts,
    size: tuple[float, float],
    *,
    pages: int,
) -> tuple[int, bytes]:
    look = styles()
    target = io.BytesIO()
    document = BaseDocTemplate(
        target,
        pagesize=size,
        title=fonts.printable(facts.title),
        author=fonts.printable(facts.author),
        subject=fonts.printable(facts.subject),
        creator="Between Coats",
        producer="Between Coats",
        lang=facts.language,
        displayDocTitle=True,
        invariant=1,
        initialFontName=look.body.fontName,
    )
    width, height = size

    def foot(canvas: Canvas, _document: BaseDocTemplate) -> None:
        _draw_foot(canvas, facts, width, pages)

    def running(canvas: Canvas, document: BaseDocTemplate) -> None:
        foot(canvas, document)
        _draw_line_of_text(canvas, facts.running, SIDE, height - HEAD + 1, width - 2 * SIDE)

    def frame(head: float) -> Frame:
        return Frame(SIDE, FOOT, width - 2 * SIDE, height - head - FOOT, 0, 0, 0, 0)

    document.addPageTemplates(
        [
            PageTemplate("first", [frame(HEAD)], onPage=foot),
            PageTemplate("later", [frame(HEAD + RUNNING_HEAD)], onPage=running),
        ]
    )
    document.build([NextPageTemplate("later"), *story(width - 2 * SIDE)])
    return document.page, target.getvalue()


def _draw_foot(canvas: Canvas, facts: PaperFacts, width: float, pages: int) -> None:
    base = 13 * mm
    count = facts.page_words.format(page=canvas.getPageNumber(), pages=pages)
    canvas.setStrokeColor(LINE)
    canvas.setLineWidth(0.6)
    canvas.line(SIDE, base + 12, width - SIDE, base + 12)
    room = width - 2 * SIDE - 40 * mm
    _draw_line_of_text(canvas, facts.foot, SIDE, base, room)
    canvas.drawRightString(width - SIDE, base, fonts.printable(count))


def _draw_line_of_text(canvas: Canvas, text: str, left: float, base: float, room: float) -> None:
    look = styles().label
    canvas.setFont(look.fontName, look.fontSize)
    canvas.setFillColor(UMBER)
    canvas.drawString(left, base, fitted(text, look.fontName, look.fontSize, room))


def fitted(text: str, font: str, size: float, room: float) -> str:
    """The text on one line, cut with an ellipsis where it is wider than the room (points)."""
    text = " ".join(fonts.printable(text).split())
    if fonts.width_of(text, font, size) <= room:
        return text

    def width_of_first(count: int) -> float:
        return fonts.width_of(text[:count] + "…", font, size)

    fitting = bisect_right(range(len(text)), room, key=width_of_first) - 1
    return text[: max(fitting, 0)].rstrip() + "…"
