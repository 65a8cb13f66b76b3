"""The bench sheet the painter works from: what stands in it, and the door to its PDF.

Everything here is text ready to print, as for the estimate. It holds no prices.
"""

from dataclasses import dataclass, field
from typing import Literal

from jobs.layout.drawing import Drawing


@dataclass(frozen=True)
class CautionPaper:
    """A caution as it is printed."""

    title: str
    text: str


@dataclass(frozen=True)
class StagePaper:
    """One stage: what it is painted with, its boxes to tick and the waits after its coats.

    `done` of its `coats` are painted already. `recipe`, `waits` and `mind` may be empty.
    """

    name: str
    work: str
    recipe: str
    coats: int
    done: int
    waits: tuple[str, ...]
    minutes: str
    mind: str


@dataclass(frozen=True)
class BenchPanel:
    """One panel: its coats in cross-section, its stages, and how it is laid out.

    `lay_out` and `construction` are empty where the method has no lay-out stage.
    """

    mark: str
    name: str
    facts: str
    section: Drawing | None
    stages: tuple[StagePaper, ...]
    minutes: str
    lay_out: tuple[str, ...] = ()
    construction: Drawing | None = None


@dataclass(frozen=True)
class BenchPiece:
    """One piece of furniture with its panels."""

    name: str
    description: str
    panels: tuple[BenchPanel, ...]


@dataclass(frozen=True)
class BenchWords:
    """The fixed words of the sheet, in English unless the caller gives others."""

    sheet: str = "Bench sheet"
    printed_on: str = "Printed"
    wanted: str = "Wanted by"
    room: str = "Waits"
    coats: str = "Coats"
    stage: str = "Stages of panel {mark}"
    wait: str = "Then wait"
    time: str = "Time"
    in_all: str = "In all"
    mind: str = "Mind"
    lay_out: str = "Laying it out"
    no_panels: str = "No panel has been measured yet."
    no_stages: str = "No method is chosen for this panel yet."
    cautions: str = "Cautions"
    page: str = "Page {page} of {pages}"


@dataclass(frozen=True)
class BenchSheet:
    """The bench sheet of a commission. `language` is a BCP 47 tag, `wanted` may be "".

    `room` says what the waits were counted for; `deferring` stands over the cautions.
    """

    language: str
    studio_name: str
    studio_lines: tuple[str, ...]
    client_name: str
    number: str
    title: str
    printed_on: str
    wanted: str
    room: str
    pieces: tuple[BenchPiece, ...]
    deferring: str
    cautions: tuple[CautionPaper, ...]
    words: BenchWords = field(default_factory=BenchWords)


def bench_sheet_pdf(sheet: BenchSheet, *, page_size: Literal["A4", "Letter"] = "A4") -> bytes:
    """The bench sheet as a PDF; the same sheet gives the same bytes.

    Raises quotes.pdf.missing.MissingLettersError where a text is in a script that the paper's
    fonts do not hold.
    """
    from quotes.pdf.bench_sheet_story import built_bench_sheet  # slow import

    return built_bench_sheet(sheet, page_size)
