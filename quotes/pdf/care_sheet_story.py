"""The care sheet set as pages: heading, the pieces and their paint, care, cautions."""

from reportlab.lib.units import mm
from reportlab.platypus import CondPageBreak, Flowable, Spacer

from quotes.pdf.care_sheet import CarePiece, CareSheet
from quotes.pdf.ink import LINE
from quotes.pdf.paper import (
    Bookmark,
    PageSize,
    columns,
    heading,
    stack,
    styles,
    words,
)
from quotes.pdf.sheet_parts import built_sheet, caution_section


def built_care_sheet(sheet: CareSheet, page_size: PageSize) -> bytes:
    """The PDF of a care sheet. See `quotes.pdf.care_sheet.care_sheet_pdf`."""
    return built_sheet(sheet, _story, page_size)


def _story(sheet: CareSheet, width: float) -> list[Flowable]:
    story = _opening(sheet, width)
    for piece in sheet.pieces:
        story += _piece(piece, sheet, width)
    story += _care(sheet, width)
    return story + caution_section(sheet.words.cautions, sheet.deferring, sheet.cautions, width)


def _opening(sheet: CareSheet, width: float) -> list[Flowable]:
    look, fixed = styles(), sheet.words
    facts = [(fixed.dated, sheet.dated), (fixed.made_by, sheet.made_by)]
    table = columns(
        [[words(label, look.label), words(value, look.body)] for label, value in facts if value],
        [width * 0.14, width * 0.36],
        # Smaller letters stand on the line of the larger ones beside them.
        ("TOPPADDING", (0, 0), (0, -1), look.body.fontSize - look.label.fontSize),
        ("BOTTOMPADDING", (0, 0), (-1, -1), 2),
    )
    client = [
        words(fixed.client, look.label),
        words(sheet.client_name, look.strong),
        *stack(sheet.client_lines, look.body),
    ]
    name = f"{fixed.sheet} {sheet.number}"
    story: list[Flowable] = [
        heading(sheet.studio_name, sheet.studio_lines, width),
        Spacer(1, 26),
        Bookmark(name),
        words(name, look.title),
        words(sheet.title, look.lead),
        Spacer(1, 16),
        columns([[client, table]], [width * 0.5, width * 0.5]),
    ]
    if sheet.lead.strip():
        story += [Spacer(1, 12), words(sheet.lead, look.strong)]
    return story


def _piece(piece: CarePiece, sheet: CareSheet, width: float) -> list[Flowable]:
    look, fixed = styles(), sheet.words
    label = width * 0.28
    rows: list[list[object]] = [
        [words(name, look.label), words(told, look.body)] for name, told in piece.materials
    ]
    for name, lines in ((fixed.cured, piece.cured), (fixed.colours, piece.colours)):
        told = stack(lines, look.body)
        if told:
            rows.append([words(name, look.label), told])
    story: list[Flowable] = [
        Spacer(1, 18),
        CondPageBreak(110),
        Bookmark(piece.name, level=1),
        words(piece.name, look.piece),
        words(piece.description, look.body),
        Spacer(1, 4),
    ]
    if rows:
        story.append(
            columns(
                rows,
                [label, width - label],
                ("TOPPADDING", (0, 0), (-1, -1), 4),
                ("BOTTOMPADDING", (0, 0), (-1, -1), 4),
                ("RIGHTPADDING", (0, 0), (0, -1), 5 * mm),
                ("LINEABOVE", (0, 0), (-1, -1), 0.6, LINE),
            )
        )
    return story


def _care(sheet: CareSheet, width: float) -> list[Flowable]:
    if not sheet.care:
        return []
    look = styles()
    number = 7 * mm
    rows: list[Flowable] = [
        columns(
            [[words(f"{place}.", look.label), words(advice, look.body)]],
            [number, width - number],
            ("BOTTOMPADDING", (0, 0), (-1, -1), 4),
        )
        for place, advice in enumerate(sheet.care, start=1)
    ]
    # One table each: a heading keeps the whole of what follows it on its page.
    return [CondPageBreak(90), words(sheet.words.care, look.section), *rows]
