"""The care sheet the client gets with the piece: what stands in it, and the door to its PDF.

Everything here is text ready to print, as for the estimate.
"""

from dataclasses import dataclass, field
from typing import Literal

from quotes.pdf.bench_sheet import CautionPaper


@dataclass(frozen=True)
class CarePiece:
    """One piece: what it is painted with as (label, words), and when that has cured.

    `colours` names those that hold a metal to know of, a sentence each.
    """

    name: str
    description: str
    materials: tuple[tuple[str, str], ...]
    cured: tuple[str, ...]
    colours: tuple[str, ...]


@dataclass(frozen=True)
class CareWords:
    """The fixed words of the sheet, in English unless the caller gives others."""

    sheet: str = "Care sheet"
    client: str = "For"
    dated: str = "Date"
    made_by: str = "Painted by"
    cured: str = "When it is hard"
    colours: str = "Colours to know of"
    care: str = "How to care for it"
    cautions: str = "Please note"
    page: str = "Page {page} of {pages}"


@dataclass(frozen=True)
class CareSheet:
    """The care sheet of a commission. `language` is a BCP 47 tag.

    `lead` says that not all of it is painted yet, or is "". `deferring` stands over the
    cautions.
    """

    language: str
    studio_name: str
    studio_lines: tuple[str, ...]
    client_name: str
    client_lines: tuple[str, ...]
    number: str
    title: str
    dated: str
    made_by: str
    lead: str
    pieces: tuple[CarePiece, ...]
    care: tuple[str, ...]
    deferring: str
    cautions: tuple[CautionPaper, ...]
    words: CareWords = field(default_factory=CareWords)


def care_sheet_pdf(sheet: CareSheet, *, page_size: Literal["A4", "Letter"] = "A4") -> bytes:
    """The care sheet as a PDF; the same sheet gives the same bytes.

    Raises quotes.pdf.missing.MissingLettersError where a text is in a script that the paper's
    fonts do not hold.
    """
    from quotes.pdf.care_sheet_story import built_care_sheet  # slow import

    return built_care_sheet(sheet, page_size)
