"""The bench sheet and the care sheet on paper: complete, whole at a page's end, unbreakable."""

import io
from dataclasses import replace

import pdfplumber
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from pypdf import PdfReader
from quotes_pdf_sample import CHEST, fonts_of, pages_of, text_of

from jobs.layout.section import Coat, cross_section
from quotes.pdf.bench_sheet import (
    BenchPanel,
    BenchPiece,
    BenchSheet,
    CautionPaper,
    StagePaper,
    bench_sheet_pdf,
)
from quotes.pdf.care_sheet import CarePiece, CareSheet, care_sheet_pdf
from quotes.pdf.missing import MissingLettersError

LONG = "A name that goes on and on " * 8
DUST = CautionPaper("Dust from sanding", "Extract it at the tool; local rules come first.")
PRIME = StagePaper(
    "Prime",
    "acrylic gesso, three coats, as usual (108 µm wet)",
    "",
    3,
    1,
    ("each coat: ready to recoat, likely 2 h, surely 4 h",),
    "42 min",
    "dust from sanding",
)
OIL = StagePaper(
    "First oil",
    "oil colour with linseed oil, one coat",
    "Old gold: 3 yellow ochre (PY43), 1 Mars black (PBk11)",
    1,
    0,
    ("touch-dry, likely 5 days, surely 11 days",),
    "2 h 10",
    "",
)
COATS = [Coat("Prime, coat 1 of 3", "done", role="gesso"), Coat("First oil", "planned")]
PANEL = BenchPanel(
    "A",
    "Lid: Plait",
    "25 cm × 25 cm rectangle · plait · ground: old linen",
    cross_section(COATS, large=True),
    (PRIME, OIL),
    "2 h 52",
    ("Check that both diagonals measure 35.36 cm: if they differ, it is not square.",),
    CHEST,
)
BENCH = BenchSheet(
    language="en-GB",
    studio_name="Quayside Painted Furniture",
    studio_lines=("14 Quay Lane", "Harbourtown"),
    client_name="Łukasz Ωμέγα & Жанна Kővári",
    number="14",
    title="A marriage chest",
    printed_on="25 November 2026",
    wanted="14 March 2027",
    room="likely: as often as not; for a room of 19 °C and 55 %.",
    pieces=(BenchPiece("Chest", "pine, now waxed", (PANEL,)),),
    deferring="They inform; licensed practice comes first.",
    cautions=(DUST,),
)
CARE = CareSheet(
    language="en-GB",
    studio_name="Quayside Painted Furniture",
    studio_lines=("14 Quay Lane",),
    client_name="Łukasz Ωμέγα & Жанна Kővári",
    client_lines=("The Old Mill",),
    number="14",
    title="A marriage chest",
    dated="25 November 2026",
    made_by="Anna, Quayside",
    lead="Not all of it is painted yet.",
    pieces=(
        CarePiece(
            "Chest",
            "pine",
            (("Primed with", "acrylic gesso"), ("Varnished with", "acrylic varnish")),
            ("It is likely cured by 3 March 2027, surely by 9 March 2027.",),
            ("Cadmium pigment: cadmium red (PR108).",),
        ),
    ),
    care=("Dust with a soft dry cloth.", "Use no polish with silicone."),
    deferring="They inform; licensed practice comes first.",
    cautions=(CautionPaper("Furniture for a child", "Ask what local rules demand."),),
)


def test_the_painter_finds_paint_recipe_wait_time_and_cautions() -> None:
    text = text_of(bench_sheet_pdf(BENCH))
    for wanted in (
        "Bench sheet 14",
        "Wanted by 14 March 2027",
        "A Lid: Plait",
        "25 cm × 25 cm rectangle · plait · ground: old linen",
        "Prime acrylic gesso, three coats, as usual",
        "Old gold: 3 yellow ochre (PY43), 1 Mars black (PBk11)",
        "Mind: dust from sanding",
        "In all 2 h 52",
        "1. Check that both diagonals measure 35.36 cm",
        "Dust from sanding Extract it at the tool; local rules come first.",
        "licensed practice comes first",
    ):
        assert wanted in text, wanted
    assert "likely 5 days" in text
    assert "42 min" in text


def test_three_short_panels_share_a_page_and_each_is_whole() -> None:
    panels = tuple(
        replace(PANEL, mark=mark, section=None, construction=None, lay_out=()) for mark in "ABC"
    )
    pdf = bench_sheet_pdf(replace(BENCH, pieces=(BenchPiece("Chest", "pine", panels),)))
    assert len(pages_of(pdf)) == 1


@pytest.mark.parametrize("count", [2, 5, 9])
def test_a_panel_of_few_stages_is_never_cut_by_a_pages_end(count: int) -> None:
    panels = tuple(
        replace(PANEL, mark=f"{n}", name=f"Panel {n} of many") for n in range(1, count + 1)
    )
    pdf = bench_sheet_pdf(replace(BENCH, pieces=(BenchPiece("Chest", "pine", panels),)))
    with pdfplumber.open(io.BytesIO(pdf)) as document:
        for page in document.pages:
            text = page.extract_text()
            assert text.count("of many") == text.count("In all")
    assert len(pages_of(pdf)) <= (count + 2) // 2


def squares_and_ticks(panel: BenchPanel) -> tuple[int, int]:
    """Count the boxes to tick, and those that are ticked, on a sheet of one panel."""
    bare = replace(panel, section=None, construction=None)
    pdf = bench_sheet_pdf(replace(BENCH, pieces=(BenchPiece("Chest", "pine", (bare,)),)))
    with pdfplumber.open(io.BytesIO(pdf)) as document:
        boxes = [
            one
            for page in document.pages
            for one in page.rects
            if abs(one["width"] - 9) < 0.1 and abs(one["height"] - 9) < 0.1
        ]
        strokes = [
            one
            for page in document.pages
            for one in (*page.lines, *page.curves)
            if abs(one["linewidth"] - 1.4) < 0.01
        ]
    return len(boxes), len(strokes)


def test_each_coat_has_a_box_and_what_is_painted_is_ticked() -> None:
    open_boxes, no_strokes = squares_and_ticks(replace(PANEL, stages=(replace(PRIME, done=0),)))
    boxes, strokes = squares_and_ticks(replace(PANEL, stages=(replace(PRIME, coats=12, done=5),)))
    assert (open_boxes, no_strokes) == (3, 0)
    assert boxes == 12
    assert strokes in (5, 10)


def test_the_owner_finds_paint_cure_colours_care_and_cautions() -> None:
    text = text_of(care_sheet_pdf(CARE))
    for wanted in (
        "Care sheet 14",
        "Painted by Anna, Quayside",
        "Not all of it is painted yet.",
        "Varnished with acrylic varnish",
        "surely by 9 March 2027",
        "Cadmium pigment: cadmium red (PR108).",
        "2. Use no polish with silicone.",
        "Furniture for a child Ask what local rules demand.",
        "licensed practice comes first",
    ):
        assert wanted in text, wanted


@pytest.mark.parametrize(
    ("made", "paper", "name"),
    [(bench_sheet_pdf, BENCH, "Bench sheet 14"), (care_sheet_pdf, CARE, "Care sheet 14")],
    ids=["bench", "care"],
)
def test_the_file_describes_itself_and_holds_its_fonts(made, paper, name: str) -> None:
    pdf = made(paper)
    reader = PdfReader(io.BytesIO(pdf))
    assert reader.metadata.title == f"{name}: A marriage chest"
    assert reader.metadata.author == "Quayside Painted Furniture"
    assert reader.root_object["/Lang"] == "en-GB"
    assert [reader.outline[0].title, reader.outline[1][0].title] == [name, "Chest"]
    assert fonts_of(pdf)
    assert all("/FontFile2" in font["/FontDescriptor"] for font in fonts_of(pdf))
    assert made(paper) == pdf
    # A4: ISO 216.
    assert pages_of(pdf)[0] == pytest.approx((210 / 25.4 * 72, 297 / 25.4 * 72), abs=0.1)
    with pytest.raises(MissingLettersError, match="no letters for 田"):
        made(replace(paper, title="田"))


def panels_on_paper(count: int, stages: int) -> list[str]:
    """Return the text of each page of a sheet of so many panels of so many long stages."""
    work = tuple(
        replace(OIL, name=f"Begin{n}", work=LONG, mind=f"end{n} of it") for n in range(stages)
    )
    many = tuple(
        replace(PANEL, mark=f"{n}", name=f"Panel {n} {LONG}", stages=work)
        for n in range(1, count + 1)
    )
    pdf = bench_sheet_pdf(replace(BENCH, pieces=(BenchPiece("Chest", "pine", many),)))
    with pdfplumber.open(io.BytesIO(pdf)) as document:
        return [page.extract_text() for page in document.pages]


@pytest.mark.parametrize(("count", "stages"), [(40, 1), (3, 14)])
def test_many_panels_with_long_names_are_all_there_and_no_stage_is_cut(
    count: int, stages: int
) -> None:
    pages = panels_on_paper(count, stages)
    whole = " ".join(" ".join(pages).split())
    assert all(f"{n} Panel {n} A name" in whole for n in range(1, count + 1))
    assert whole.count("In all 2 h 52") == count
    for page in pages:
        assert page.count("Begin") == page.count("Mind: end")
        assert "In all" not in page.split("Stages of panel")[0]


def test_a_lay_out_longer_than_a_page_is_printed_whole() -> None:
    panel = replace(PANEL, lay_out=("word " * 900, "the last step of it"), stages=())
    pdf = bench_sheet_pdf(replace(BENCH, pieces=(BenchPiece("Chest", "pine", (panel,)),)))
    assert "2. the last step of it" in text_of(pdf)


def test_without_panels_or_stages_the_sheet_says_so() -> None:
    bare = replace(PANEL, stages=(), section=None, construction=None, lay_out=())
    text = text_of(bench_sheet_pdf(replace(BENCH, pieces=(BenchPiece("Chest", "pine", (bare,)),))))
    assert "No method is chosen for this panel yet." in text
    assert "No panel has been measured yet." in text_of(bench_sheet_pdf(replace(BENCH, pieces=())))


line = st.sampled_from(["", "word", LONG, "x" * 900, "word " * 900])


@given(text=st.tuples(*[line] * 8), coats=st.integers(1, 12), count=st.integers(0, 2))
@settings(max_examples=8, deadline=None)
def test_no_length_of_text_breaks_the_sheets(text: tuple[str, ...], coats: int, count: int) -> None:
    name, facts, work, recipe, wait, minutes, mind, title = text
    stage = StagePaper(name, work, recipe, coats, coats // 2, (wait, wait), minutes, mind)
    panel = replace(PANEL, name=name, facts=facts, stages=(stage,) * count, lay_out=(work,))
    caution = CautionPaper(name, work)
    bench = replace(
        BENCH,
        studio_name=title,
        title=title,
        room=facts,
        pieces=(BenchPiece(name, facts, (panel,) * count),),
        cautions=(caution,) * count,
    )
    assert bench_sheet_pdf(bench).startswith(b"%PDF-")
    piece = CarePiece(name, facts, ((name, work),) * count, (wait,), (recipe,) * count)
    care = replace(
        CARE,
        title=title,
        made_by=work,
        lead=mind,
        pieces=(piece,) * count,
        care=(work, wait),
        cautions=(caution,),
    )
    assert care_sheet_pdf(care).startswith(b"%PDF-")
