"""The estimate that goes to the client: what stands in it, and the door to its PDF.

Everything here is text ready to print: money, dates and sizes are formatted by the caller in the
studio's language, so that paper, page and command say the same.
"""

from dataclasses import dataclass, field
from typing import Literal

from jobs.layout.drawing import Drawing


@dataclass(frozen=True)
class PanelPaper:
    """One panel: its letter in the drawing, what is done on it in plain words, its amount."""

    mark: str
    name: str
    size: str
    motif: str
    work: tuple[str, ...]
    amount: str


@dataclass(frozen=True)
class PiecePaper:
    """One piece of furniture, in elevation where a drawing is given, with its panels."""

    name: str
    description: str
    drawing: Drawing | None
    panels: tuple[PanelPaper, ...]


@dataclass(frozen=True)
class WeekPaper:
    """One week of the programme: "Week of 7 December", "Front door: three coats of gesso"."""

    label: str
    text: str


@dataclass(frozen=True)
class SumLine:
    """One line of the price block."""

    text: str
    amount: str


@dataclass(frozen=True)
class Words:
    """The fixed words of the paper, in English unless the caller gives others.

    They stand together so that a paper in the client's language is a list of words, not a layout.
    """

    estimate: str = "Estimate"
    issue: str = "Issue"
    client: str = "Prepared for"
    issued_on: str = "Date"
    valid_until: str = "Valid until"
    wanted: str = "Wanted by"
    work: str = "The work"
    scale: str = "Drawn to scale, {scale}"
    programme: str = "The programme"
    price: str = "The price"
    net: str = "Net"
    total: str = "Total"
    terms: str = "Terms"
    cautions: str = "Please note"
    accept: str = "To accept"
    how: str = "Please sign below and return a copy by {valid_until}."
    how_with_deposit: str = (
        "Please sign below and return a copy by {valid_until}, with the deposit of {deposit}."
        " The place in the programme is yours from then on."
    )
    signer: str = "Name"
    signature: str = "Signature"
    signed_on: str = "Date"
    page: str = "Page {page} of {pages}"


@dataclass(frozen=True)
class EstimatePaper:
    """One issue of an estimate.

    `number` is the commission's ("2026-014"), `issue` counts its estimates from 1. `language` is a
    BCP 47 tag. Where no tax is charged `tax_label` and `tax` are "", and the net is not printed
    apart from the total; where no deposit is asked `deposit_label` and `deposit` are "".
    """

    language: str
    studio_name: str
    studio_lines: tuple[str, ...]
    client_name: str
    client_lines: tuple[str, ...]
    number: str
    issue: int
    title: str
    brief: str
    issued_on: str
    valid_until: str
    wanted: str
    pieces: tuple[PiecePaper, ...]
    weeks: tuple[WeekPaper, ...]
    finish_text: str
    sums: tuple[SumLine, ...]
    net: str
    tax_label: str
    tax: str
    total: str
    deposit_label: str
    deposit: str
    terms: tuple[str, ...]
    cautions: tuple[str, ...]
    words: Words = field(default_factory=Words)


def estimate_pdf(paper: EstimatePaper, *, page_size: Literal["A4", "Letter"] = "A4") -> bytes:
    """The estimate as a PDF; the same paper gives the same bytes.

    Raises quotes.pdf.missing.MissingLettersError (a ValueError with a sentence for the painter)
    where a text is in a script that the paper's fonts do not hold.
    """
    # Slow import: the PDF library takes longer to load than a page to answer.
    from quotes.pdf.estimate_story import built_estimate

    return built_estimate(paper, page_size)
