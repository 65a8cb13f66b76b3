"""A sample estimate and a small drawing for the tests of the papers."""

import io
from dataclasses import replace

import pdfplumber
from pypdf import PdfReader
from pypdf.generic import DictionaryObject, IndirectObject

from jobs.layout.drawing import Drawing, Label, Path
from quotes.pdf.estimate import EstimatePaper, PanelPaper, PiecePaper, SumLine, WeekPaper


def box(left: float, top: float, width: float, height: float) -> tuple[tuple, ...]:
    """The moves of a rectangle."""
    right, bottom = left + width, top + height
    corners = (("M", left, top), ("L", right, top), ("L", right, bottom), ("L", left, bottom))
    return (*corners, ("Z",))


CHEST = Drawing(
    9000,
    6000,
    (
        Path(box(0, 0, 9000, 6000), "board"),
        Path(box(500, 500, 2500, 2500), "panel", "#2f5d4a"),
        Path(box(3500, 500, 2500, 2500), "panel-undecided"),
        Label(1750, 1800, "A", "key-letter", size=400),
    ),
    "Chest in elevation",
)

WORK = ("cleaned and degreased", "sanded.", "primed with three coats of gesso")

PAPER = EstimatePaper(
    language="en-GB",
    studio_name="Quayside Painted Furniture",
    studio_lines=("14 Quay Lane", "Harbourtown"),
    client_name="Łukasz Ωμέγα & Жанна Kővári",
    client_lines=("The Old Mill", "Riverside 2"),
    number="2026-014",
    issue=2,
    title="A marriage chest",
    brief="Interlace on the lid.\nColours as on the sample board.",
    issued_on="25 November 2026",
    valid_until="25 December 2026",
    wanted="14 March 2027",
    pieces=(
        PiecePaper(
            "Chest",
            "Pine, about 1890",
            CHEST,
            (
                PanelPaper("A", "Lid", "25 × 25 cm", "interlace", WORK, "£612.40"),
                PanelPaper("B", "Front", "25 × 40 cm", "river landscape", WORK, "£1,204.75"),
            ),
        ),
    ),
    weeks=(
        WeekPaper("Week of 7 December", "Primed; the gesso dries."),
        WeekPaper("Week of 14 December", "Ground colour and transfer."),
    ),
    finish_text="Ready to use from 12 March 2027.",
    sums=(SumLine("Work, 60 h 35 min", "£1,817.15"), SumLine("Materials", "£18.62")),
    net="£1,835.77",
    tax_label="Tax, 20 %",
    tax="£367.15",
    total="£2,202.92",
    deposit_label="Deposit, one third",
    deposit="£734.31",
    terms=("This is an estimate.", "The deposit keeps the dates."),
    cautions=("Old paint may contain lead; local rules come first.",),
)

BARE = replace(
    PAPER,
    studio_lines=(),
    client_lines=(),
    brief="",
    wanted="",
    pieces=(PiecePaper("Box", "", None, (PanelPaper("A", "Lid", "", "", (), "£5.00"),)),),
    weeks=(),
    finish_text="",
    tax_label="",
    tax="",
    deposit_label="",
    deposit="",
    terms=(),
    cautions=(),
)


def text_of(pdf: bytes) -> str:
    """The text of all pages, with one ordinary space wherever the paper has any."""
    with pdfplumber.open(io.BytesIO(pdf)) as document:
        return " ".join(" ".join((page.extract_text() or "").split()) for page in document.pages)


def pages_of(pdf: bytes) -> list[tuple[float, float]]:
    """The size of each page in points."""
    return [
        (float(page.mediabox.width), float(page.mediabox.height))
        for page in PdfReader(io.BytesIO(pdf)).pages
    ]


def fonts_of(pdf: bytes) -> list[DictionaryObject]:
    """Every font object in the file, used or not."""
    reader = PdfReader(io.BytesIO(pdf))
    found = []
    for number in range(1, reader.trailer["/Size"]):
        thing = reader.get_object(IndirectObject(number, 0, reader))
        if isinstance(thing, DictionaryObject) and thing.get("/Type") == "/Font":
            found.append(thing)
    return found
