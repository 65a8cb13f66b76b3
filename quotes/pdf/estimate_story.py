"""The estimate set as pages: heading, client, work by piece, programme, price, terms, signature."""

import re
from collections.abc import Iterable

from reportlab.lib.enums import TA_RIGHT
from reportlab.lib.styles import ParagraphStyle
from reportlab.lib.units import mm
from reportlab.platypus import (
    CondPageBreak,
    Flowable,
    HRFlowable,
    KeepTogether,
    Paragraph,
    Spacer,
)

from quotes.pdf import fonts
from quotes.pdf.drawing import ScaledDrawing
from quotes.pdf.estimate import EstimatePaper, PanelPaper, PiecePaper, WeekPaper
from quotes.pdf.ink import INK, LINE, LINEN, UMBER, VERDIGRIS
from quotes.pdf.paper import (
    Bookmark,
    PageSize,
    PaperFacts,
    build,
    columns,
    heading,
    stack,
    styles,
    words,
)

TALLEST_DRAWING, LEAST_DRAWING = 112 * mm, 75 * mm
MOST_KEPT = 600.0
"""Points that a page of either size surely has for the price and all that is signed for."""
_LAST_DIGIT = re.compile(r"\D*\Z")


def built_estimate(paper: EstimatePaper, page_size: PageSize) -> bytes:
    """The PDF of an estimate. See `quotes.pdf.estimate.estimate_pdf`."""
    name = f"{paper.words.estimate} {paper.number}"
    facts = PaperFacts(
        title=f"{name}: {paper.title}",
        author=paper.studio_name,
        subject=f"{name}, {paper.words.issue} {paper.issue}",
        language=paper.language,
        running=f"{paper.studio_name} · {paper.title}",
        foot=f"{name} · {paper.words.issue} {paper.issue} · {paper.client_name}",
        page_words=paper.words.page,
    )
    return build(lambda width: _story(paper, width), facts, page_size)


def _story(paper: EstimatePaper, width: float) -> list[Flowable]:
    amounts = AmountColumn(
        [panel.amount for piece in paper.pieces for panel in piece.panels]
        + [line.amount for line in paper.sums]
        + [paper.net, paper.tax, paper.total, paper.deposit],
        widest=width / 3,
    )
    story: list[Flowable] = [*_opening(paper, width)]
    for place, piece in enumerate(paper.pieces):
        story += _piece(piece, paper, amounts, width, first=place == 0)
    story += _programme(paper, width)
    return story + _closing(paper, amounts, width)


class AmountColumn:
    """Amounts that stand under one another digit under digit, whatever follows the last digit.

    All digits of the fonts are equally wide and one currency has one number of decimals, so that
    amounts aligned on their last digit are aligned on the decimal sign, with "€" after them or not.
    The column is `width` points wide, `widest` at the most; a longer amount goes over two lines.
    """

    def __init__(self, amounts: Iterable[str], widest: float) -> None:
        look = styles()
        self._sizes = (look.body, look.strong)
        texts = [fonts.printable(amount) for amount in amounts]
        self._tail = max((self._width(_tail(text)) for text in texts), default=0)
        needed = max((self._width(text) for text in texts), default=0) + self._tail + 2
        self.width = min(needed, widest)

    def amount(self, text: str, style: ParagraphStyle) -> Paragraph:
        """The amount, to be put in a cell `width` wide."""
        own_tail = fonts.width_of(_tail(fonts.printable(text)), style.fontName, style.fontSize)
        aligned = ParagraphStyle(
            "amount",
            parent=style,
            alignment=TA_RIGHT,
            rightIndent=self._tail - own_tail,
        )
        return words(text.replace(" ", "\u00a0"), aligned)

    def _width(self, text: str) -> float:
        return max(fonts.width_of(text, look.fontName, look.fontSize) for look in self._sizes)


def _tail(amount: str) -> str:
    match = _LAST_DIGIT.search(amount)
    return match.group() if match and match.group() != amount else ""


def _opening(paper: EstimatePaper, width: float) -> list[Flowable]:
    look = styles()
    facts = [
        (paper.words.issued_on, paper.issued_on),
        (paper.words.valid_until, paper.valid_until),
        (paper.words.wanted, paper.wanted),
        (paper.words.issue, str(paper.issue)),
    ]
    table = columns(
        [[words(label, look.label), words(value, look.body)] for label, value in facts if value],
        [width * 0.14, width * 0.28],
        # Smaller letters stand on the line of the larger ones beside them.
        ("TOPPADDING", (0, 0), (0, -1), look.body.fontSize - look.label.fontSize),
    )
    client = [
        words(paper.words.client, look.label),
        words(paper.client_name, look.strong),
        *stack(paper.client_lines, look.body),
    ]
    story: list[Flowable] = [
        heading(paper.studio_name, paper.studio_lines, width),
        Spacer(1, 26),
        Bookmark(f"{paper.words.estimate} {paper.number}"),
        words(f"{paper.words.estimate} {paper.number}", look.title),
        words(paper.title, look.lead),
        Spacer(1, 16),
        columns(
            [[client, table]],
            [width * 0.58, width * 0.42],
            ("RIGHTPADDING", (0, 0), (0, 0), 6 * mm),
        ),
    ]
    if paper.brief.strip():
        story += [Spacer(1, 16), words(paper.brief, look.body)]
    return story


def _piece(
    piece: PiecePaper,
    paper: EstimatePaper,
    amounts: AmountColumn,
    width: float,
    *,
    first: bool,
) -> list[Flowable]:
    look = styles()
    story: list[Flowable] = [] if first else [Spacer(1, 18)]
    room = 90.0
    drawing = None
    if piece.drawing is not None:
        drawing = ScaledDrawing(
            piece.drawing,
            paper.words.scale,
            look.label,
            tallest=TALLEST_DRAWING,
            least=LEAST_DRAWING,
        )
        room += drawing.room_needed(width)
    story.append(CondPageBreak(room))
    if first:
        story.append(words(paper.words.work, look.section))
    story += [Bookmark(piece.name, level=1), words(piece.name, look.piece)]
    if piece.description.strip():
        story.append(words(piece.description, look.body))
    if drawing is not None:
        story += [Spacer(1, 8), drawing]
    if piece.panels:
        story += [Spacer(1, 6), *_panels(piece.panels, amounts, width)]
    return story


def _panels(panels: tuple[PanelPaper, ...], amounts: AmountColumn, width: float) -> list[Flowable]:
    look = styles()
    mark = 9 * mm
    rows: list[Flowable] = []
    for panel in panels:
        amount = amounts.amount(panel.amount, look.body) if panel.amount else ""
        row = columns(
            [[words(panel.mark, look.strong), _panel(panel), amount]],
            [mark, width - mark - amounts.width, amounts.width],
            ("TOPPADDING", (0, 0), (-1, -1), 6),
            ("BOTTOMPADDING", (0, 0), (-1, -1), 7),
            ("RIGHTPADDING", (1, 0), (1, -1), 8 * mm),
            ("LINEABOVE", (0, 0), (-1, -1), 0.6, LINE),
        )
        # One table a panel, so that a panel is cut by a page's end only where a page is too short.
        rows.append(KeepTogether([row]))
    rows.append(HRFlowable(width, 0.6, color=LINE, spaceBefore=0, spaceAfter=0))
    return rows


def _panel(panel: PanelPaper) -> list[Flowable]:
    look = styles()
    under = " · ".join(part for part in (panel.size, panel.motif) if part.strip())
    cell: list[Flowable] = [words(panel.name, look.strong)]
    if under:
        cell.append(words(under, look.label))
    if panel.work:
        cell += [Spacer(1, 2), words(specification(panel.work), look.small)]
    return cell


def specification(steps: tuple[str, ...]) -> str:
    """The steps of the work run together as a specification: "Sanded; primed; painted in oil."."""
    run = "; ".join(step.strip().rstrip(".;") for step in steps if step.strip(" .;"))
    return f"{run[:1].upper()}{run[1:]}." if run else ""


class WeekDot(Flowable):
    """The dot of one week on the line of the programme."""

    def wrap(self, available_width: float, available_height: float) -> tuple[float, float]:
        self.width = available_width
        return available_width, 14

    def draw(self) -> None:
        self.canv.setFillColor(VERDIGRIS)
        self.canv.circle(self.width, 5.5, 2.4, stroke=0, fill=1)


def _programme(paper: EstimatePaper, width: float) -> list[Flowable]:
    if not paper.weeks and not paper.finish_text.strip():
        return []
    look = styles()
    head = words(paper.words.programme, look.section)
    finish: list[Flowable] = []
    if paper.finish_text.strip():
        finish = [Spacer(1, 6), words(paper.finish_text, look.body)]
    weeks = _weeks(paper.weeks, width)
    # Two weeks at least stay with the heading, and two with the date that they lead to.
    if len(weeks) <= 4:
        return [KeepTogether([head, *weeks, *finish])]
    return [KeepTogether([head, *weeks[:2]]), *weeks[2:-2], KeepTogether([*weeks[-2:], *finish])]


def _weeks(weeks: tuple[WeekPaper, ...], width: float) -> list[Flowable]:
    """Each week as a row by itself, their columns under one another."""
    look = styles()
    dot, air = 3 * mm, 4 * mm
    longest = max(
        (
            fonts.width_of(fonts.printable(week.label), look.strong.fontName, look.strong.fontSize)
            for week in weeks
        ),
        default=0,
    )
    label = min(longest + 2 * air + 2, width * 0.45)
    return [
        columns(
            [[WeekDot(), words(week.label, look.strong), words(week.text, look.body)]],
            [dot, label, width - dot - label],
            ("BOTTOMPADDING", (0, 0), (-1, -1), 5),
            ("LEFTPADDING", (1, 0), (1, -1), air),
            ("RIGHTPADDING", (1, 0), (1, -1), air),
            ("LINEBEFORE", (1, 0), (1, -1), 0.6, LINE),
        )
        for week in weeks
    ]


def _price(paper: EstimatePaper, amounts: AmountColumn, width: float) -> list[Flowable]:
    look = styles()
    rows: list[list[object]] = [
        [words(line.text, look.body), amounts.amount(line.amount, look.body)] for line in paper.sums
    ]
    rules: list[tuple[object, ...]] = []
    if paper.tax_label:
        rules.append(("LINEABOVE", (0, len(rows)), (-1, len(rows)), 0.6, UMBER))
        rows += [
            [words(paper.words.net, look.body), amounts.amount(paper.net, look.body)],
            [words(paper.tax_label, look.body), amounts.amount(paper.tax, look.body)],
        ]
    total = len(rows)
    rows.append([words(paper.words.total, look.strong), amounts.amount(paper.total, look.strong)])
    rules += [
        ("LINEABOVE", (0, total), (-1, total), 1.1, INK),
        ("BACKGROUND", (0, total), (-1, total), LINEN),
        ("TOPPADDING", (0, total), (-1, total), 6),
        ("BOTTOMPADDING", (0, total), (-1, total), 7),
    ]
    if paper.deposit_label:
        rows.append(
            [words(paper.deposit_label, look.body), amounts.amount(paper.deposit, look.body)]
        )
        rules.append(("TOPPADDING", (0, total + 1), (-1, total + 1), 6))
    block = columns(
        rows,
        [width - amounts.width - 6, amounts.width + 6],
        ("TOPPADDING", (0, 0), (-1, -1), 3),
        ("BOTTOMPADDING", (0, 0), (-1, -1), 3),
        ("LEFTPADDING", (0, 0), (0, -1), 6),
        ("RIGHTPADDING", (0, 0), (0, -1), 6 * mm),
        ("RIGHTPADDING", (1, 0), (1, -1), 6),
        *rules,
    )
    return [words(paper.words.price, look.section), block]


def _terms(paper: EstimatePaper, width: float) -> list[Flowable]:
    """The heading and each term as a table by itself, so that the last can be kept with others."""
    terms = [term for term in paper.terms if term.strip()]
    if not terms:
        return []
    look = styles()
    number = 7 * mm
    rows = [
        columns(
            [[words(f"{place}.", look.label), words(term, look.small)]],
            [number, width - number],
            ("BOTTOMPADDING", (0, 0), (-1, -1), 3),
        )
        for place, term in enumerate(terms, start=1)
    ]
    return [words(paper.words.terms, look.section), *rows]


def _cautions(paper: EstimatePaper, width: float) -> list[Flowable]:
    """The heading and each caution, as the terms are."""
    cautions = [caution for caution in paper.cautions if caution.strip()]
    if not cautions:
        return []
    look = styles()
    rows = [
        columns(
            [[words(caution, look.small)]],
            [width],
            ("LEFTPADDING", (0, 0), (-1, -1), 5 * mm),
            ("BOTTOMPADDING", (0, 0), (-1, -1), 4),
            ("LINEBEFORE", (0, 0), (0, -1), 2, UMBER),
        )
        for caution in cautions
    ]
    return [words(paper.words.cautions, look.section), *rows]


def _acceptance(paper: EstimatePaper, width: float) -> list[Flowable]:
    look = styles()
    how = paper.words.how_with_deposit if paper.deposit_label else paper.words.how
    gap = 6 * mm
    free = width - 2 * gap
    labels = [paper.words.signer, "", paper.words.signature, "", paper.words.signed_on]
    lines = columns(
        [["", "", "", "", ""], [words(label, look.label) for label in labels]],
        [free * 0.36, gap, free * 0.4, gap, free * 0.24],
        ("TOPPADDING", (0, 0), (-1, 0), 30),
        *(("LINEBELOW", (column, 0), (column, 0), 0.7, INK) for column in (0, 2, 4)),
        ("TOPPADDING", (0, 1), (-1, 1), 3),
    )
    text = how.format(valid_until=paper.valid_until, deposit=paper.deposit)
    return [words(paper.words.accept, look.section), words(text, look.body), lines]


def _closing(paper: EstimatePaper, amounts: AmountColumn, width: float) -> list[Flowable]:
    """Price, terms, cautions and signature: on one page, so that nobody signs a page of nothing.

    Where they are longer than a page, the last of what is agreed stays with the signature.
    """
    price, acceptance = _price(paper, amounts, width), _acceptance(paper, width)
    agreed = [part for part in (_terms(paper, width), _cautions(paper, width)) if part]
    whole = [*price, *(each for part in agreed for each in part), *acceptance]
    if sum(_room(each, width) for each in whole) <= MOST_KEPT:
        return [KeepTogether(whole)]
    if not agreed:
        return [*price, KeepTogether(acceptance)]
    story: list[Flowable] = [KeepTogether(price)]
    for part in agreed:
        story += [CondPageBreak(80), *part]
    return [*story[:-1], KeepTogether([story[-1], *acceptance])]


def _room(flowable: Flowable, width: float) -> float:
    tall = flowable.wrap(width, 0)[1]
    return tall + flowable.getSpaceBefore() + flowable.getSpaceAfter()
