"""The bench sheet set as pages: heading, then panel by panel, then the cautions in full."""

from reportlab.lib.units import mm
from reportlab.platypus import CondPageBreak, Flowable, KeepTogether, Spacer

from quotes.pdf.bench_sheet import BenchPanel, BenchPiece, BenchSheet, StagePaper
from quotes.pdf.ink import INK, LINE
from quotes.pdf.paper import (
    Bookmark,
    PageSize,
    columns,
    heading,
    led,
    styles,
    words,
)
from quotes.pdf.sheet_parts import FittedDrawing, TickBoxes, WholeRows, built_sheet, caution_section

MOST_ASKED, MOST_KEPT_WHOLE = 520.0, 380.0
"""Points that a panel may want left on a page: on a fresh one there are more. Up to the second
it is kept whole; a longer one begins where its head, its pictures and a few stages have room."""
FIRST_STAGES = 90.0
TALLEST_SECTION, TALLEST_CONSTRUCTION = 75 * mm, 24 * mm


def built_bench_sheet(sheet: BenchSheet, page_size: PageSize) -> bytes:
    """The PDF of a bench sheet. See `quotes.pdf.bench_sheet.bench_sheet_pdf`."""
    return built_sheet(sheet, _story, page_size)


def _story(sheet: BenchSheet, width: float) -> list[Flowable]:
    story = _opening(sheet, width)
    if not any(piece.panels for piece in sheet.pieces):
        story.append(words(sheet.words.no_panels, styles().body))
    for piece in sheet.pieces:
        story += _piece(piece, sheet, width)
    return story + caution_section(sheet.words.cautions, sheet.deferring, sheet.cautions, width)


def _opening(sheet: BenchSheet, width: float) -> list[Flowable]:
    look, fixed = styles(), sheet.words
    facts = [
        (fixed.printed_on, sheet.printed_on),
        (fixed.wanted, sheet.wanted),
        (fixed.room, sheet.room),
    ]
    table = columns(
        [[words(label, look.label), words(value, look.small)] for label, value in facts if value],
        [width * 0.14, width * 0.86],
        ("BOTTOMPADDING", (0, 0), (-1, -1), 2),
    )
    name = f"{fixed.sheet} {sheet.number}"
    return [
        heading(sheet.studio_name, sheet.studio_lines, width),
        Spacer(1, 14),
        Bookmark(name),
        words(name, look.title),
        words(f"{sheet.title} · {sheet.client_name}", look.lead),
        Spacer(1, 8),
        table,
    ]


def _piece(piece: BenchPiece, sheet: BenchSheet, width: float) -> list[Flowable]:
    story: list[Flowable] = [Bookmark(piece.name, level=1)]
    for panel in piece.panels:
        story += _panel(panel, piece, sheet, width)
    return story if piece.panels else []


def _panel(panel: BenchPanel, piece: BenchPiece, sheet: BenchSheet, width: float) -> list[Flowable]:
    look = styles()
    where = f"{piece.name} ({piece.description})"
    head = columns(
        [
            [
                words(panel.mark, look.strong),
                [
                    words(panel.name, look.strong),
                    words(" · ".join(part for part in (panel.facts, where) if part), look.label),
                ],
            ]
        ],
        [9 * mm, width - 9 * mm],
        ("LINEABOVE", (0, 0), (-1, 0), 1.1, INK),
        ("TOPPADDING", (0, 0), (-1, -1), 4),
    )
    pictures = _pictures(panel, sheet, width)
    stages = [_stages(panel, sheet, width)] if panel.stages else []
    told = stages or [words(sheet.words.no_stages, look.body)]
    air = Spacer(1, 5)
    whole: list[Flowable] = [head, *([air, *pictures] if pictures else []), air, *told]
    tall = sum(each.wrap(width, 0)[1] for each in whole)
    if tall <= MOST_KEPT_WHOLE:
        return [Spacer(1, 14), KeepTogether(whole)]
    begins = tall - sum(each.wrap(width, 0)[1] for each in stages) + FIRST_STAGES
    return [Spacer(1, 14), CondPageBreak(min(begins, MOST_ASKED)), *whole]


def _pictures(panel: BenchPanel, sheet: BenchSheet, width: float) -> list[Flowable]:
    """The cross-section, and beside it how the panel is laid out."""
    half = (width - 8 * mm) / 2
    section: list[Flowable] = []
    if panel.section is not None:
        section.append(FittedDrawing(panel.section, half, TALLEST_SECTION))
    look = styles()
    lay_out: list[Flowable] = []
    steps = [words(f"{place}. {step}", look.close) for place, step in enumerate(panel.lay_out, 1)]
    if steps:
        lay_out.append(words(sheet.words.lay_out, look.label))
    if steps and panel.construction is not None:
        drawing = FittedDrawing(panel.construction, half * 0.7, TALLEST_CONSTRUCTION)
        lay_out += [drawing, Spacer(1, 3)]
    # Beside a drawing a page's end cannot cut them: what is too long goes beneath.
    beneath = sum(step.wrap(half, 0)[1] for step in steps) > TALLEST_SECTION
    if not beneath:
        lay_out += steps
    if not section and not lay_out:
        return []
    beside = columns([[section or "", lay_out or ""]], [half + 8 * mm, half])
    return [beside, *steps] if beneath else [beside]


def _stages(panel: BenchPanel, sheet: BenchSheet, width: float) -> Flowable:
    look, fixed = styles(), sheet.words
    boxes, wait, time = 19 * mm, width * 0.3, 14 * mm
    # The head is repeated on the next page, where nothing else says which panel this is.
    titles = (fixed.coats, fixed.stage.format(mark=panel.mark), fixed.wait, fixed.time)
    rows: list[list[object]] = [[words(title, look.label) for title in titles]]
    rows += [
        [
            TickBoxes(stage.coats, stage.done),
            _stage(stage, sheet),
            [words(line, look.close) for line in stage.waits] or "",
            words(stage.minutes, look.close),
        ]
        for stage in panel.stages
    ]
    rows.append(["", words(fixed.in_all, look.strong), "", words(panel.minutes, look.strong)])
    return columns(
        rows,
        [boxes, width - boxes - wait - time, wait, time],
        ("TOPPADDING", (0, 1), (-1, -1), 2.5),
        ("BOTTOMPADDING", (0, 0), (-1, -1), 3.5),
        ("RIGHTPADDING", (0, 0), (-2, -1), 3 * mm),
        ("LINEABOVE", (0, 1), (-1, -1), 0.6, LINE),
        ("LINEABOVE", (0, -1), (-1, -1), 0.9, INK),
        ("NOSPLIT", (0, len(rows) - 2), (-1, len(rows) - 1)),
        repeat=1,
        kind=WholeRows,
    )


def _stage(stage: StagePaper, sheet: BenchSheet) -> list[Flowable]:
    look = styles()
    cell: list[Flowable] = [led(stage.name, stage.work, look.close)]
    if stage.recipe.strip():
        cell.append(words(stage.recipe, look.close))
    if stage.mind.strip():
        cell.append(led(f"{sheet.words.mind}:", stage.mind, look.close))
    return cell
