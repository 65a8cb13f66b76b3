"""The estimate on paper: all that a client needs is there, and nothing breaks it."""

import io
from dataclasses import replace
from itertools import pairwise

import pdfplumber
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from pypdf import PdfReader
from quotes_pdf_sample import BARE, PAPER, fonts_of, pages_of, text_of

from quotes.pdf.estimate import (
    EstimatePaper,
    PanelPaper,
    PiecePaper,
    SumLine,
    WeekPaper,
    Words,
    estimate_pdf,
)
from quotes.pdf.estimate_story import specification
from quotes.pdf.missing import MissingLettersError

LONG = "A panel with a name that goes on and on " * 8


@pytest.fixture(scope="module")
def pdf() -> bytes:
    """The sample estimate on A4."""
    return estimate_pdf(PAPER)


def test_the_client_finds_price_deposit_validity_and_programme(pdf: bytes) -> None:
    text = text_of(pdf)
    for wanted in (
        "Estimate 2026-014",
        "Issue 2",
        "A marriage chest",
        "Valid until 25 December 2026",
        "Wanted by 14 March 2027",
        "Work, 60 h 35 min £1,817.15",
        "Net £1,835.77",
        "Tax, 20 % £367.15",
        "Total £2,202.92",
        "Deposit, one third £734.31",
        "return a copy by 25 December 2026, with the deposit of £734.31",
        "Week of 14 December Ground colour and transfer.",
        "Ready to use from 12 March 2027.",
        "1. This is an estimate.",
        "Old paint may contain lead; local rules come first.",
        "Name Signature Date",
    ):
        assert wanted in text


def test_each_panel_has_its_size_its_work_in_words_and_its_amount(pdf: bytes) -> None:
    text = text_of(pdf)
    assert "A Lid £612.40 25 × 25 cm · interlace" in text
    assert "B Front £1,204.75 25 × 40 cm · river landscape" in text
    assert text.count("Cleaned and degreased; sanded; primed with three coats of gesso.") == 2


def test_letters_beyond_latin_1_come_back_from_the_paper(pdf: bytes) -> None:
    assert PAPER.client_name in text_of(pdf)


@pytest.mark.parametrize("paper", [PAPER, BARE], ids=["full", "bare"])
def test_every_font_in_the_file_is_embedded(paper: EstimatePaper) -> None:
    fonts = fonts_of(estimate_pdf(paper))
    assert fonts
    for font in fonts:
        assert "Helvetica" not in font["/BaseFont"]
        assert "/FontFile2" in font["/FontDescriptor"]


def test_the_same_paper_gives_the_same_bytes(pdf: bytes) -> None:
    assert estimate_pdf(PAPER) == pdf


@pytest.mark.parametrize(
    ("size", "millimetres"), [("A4", (210.0, 297.0)), ("Letter", (215.9, 279.4))]
)
def test_the_page_has_the_size_asked_for(size: str, millimetres: tuple[float, float]) -> None:
    # A4: ISO 216. Letter: 8.5 x 11 in, ANSI/ASME Y14.1.
    for page in pages_of(estimate_pdf(PAPER, page_size=size)):
        assert page == pytest.approx([side / 25.4 * 72 for side in millimetres], abs=0.1)


def test_the_file_describes_itself(pdf: bytes) -> None:
    reader = PdfReader(io.BytesIO(pdf))
    assert reader.metadata is not None
    assert reader.metadata.title == "Estimate 2026-014: A marriage chest"
    assert reader.metadata.author == "Quayside Painted Furniture"
    assert reader.root_object["/Lang"] == "en-GB"
    assert [reader.outline[0].title, reader.outline[1][0].title] == ["Estimate 2026-014", "Chest"]


def test_pages_are_counted_and_named_after_the_client(pdf: bytes) -> None:
    text = text_of(pdf)
    count = len(pages_of(pdf))
    for page in range(1, count + 1):
        assert f"{PAPER.client_name} Page {page} of {count}" in text


def test_without_tax_and_deposit_the_paper_speaks_of_neither() -> None:
    text = text_of(estimate_pdf(BARE))
    assert "Tax" not in text
    assert "Net" not in text
    assert "deposit" not in text.lower()
    assert "Total £2,202.92" in text
    assert "Please sign below and return a copy by 25 December 2026." in text


def test_forty_panels_with_long_names_are_all_there() -> None:
    panel = PAPER.pieces[0].panels[0]
    many = tuple(replace(panel, mark=f"{n}", name=f"Panel {n} {LONG}") for n in range(1, 41))
    pdf = estimate_pdf(replace(PAPER, pieces=(replace(PAPER.pieces[0], panels=many),)))
    text = text_of(pdf)
    assert all(f"{n} Panel {n} A panel" in text for n in range(1, 41))
    assert text.count("£612.40") == 40


def test_a_panel_is_not_cut_by_the_end_of_a_page() -> None:
    panel = replace(PAPER.pieces[0].panels[0], work=WORK_OF_MANY_WORDS)
    pdf = estimate_pdf(replace(PAPER, pieces=(replace(PAPER.pieces[0], panels=(panel,) * 12),)))
    with pdfplumber.open(io.BytesIO(pdf)) as document:
        for page in document.pages:
            text = page.extract_text()
            assert text.count("25 × 25 cm · interlace") == text.count("and the last of it")


@pytest.mark.parametrize("lines", range(28, 38))
def test_neither_the_heading_nor_the_end_of_the_programme_stands_alone(lines: int) -> None:
    weeks = tuple(WeekPaper(f"Week {n}", f"work {n} of 9") for n in range(1, 10))
    brief = "\n".join(["A line of the brief."] * lines)
    pdf = estimate_pdf(replace(PAPER, brief=brief, pieces=(), weeks=weeks))
    with pdfplumber.open(io.BytesIO(pdf)) as document:
        pages = [page.extract_text() for page in document.pages]
    texts = ["The programme", PAPER.finish_text, *(week.text for week in weeks)]
    where = {text: next(n for n, page in enumerate(pages) if text in page) for text in texts}
    assert where["The programme"] == where["work 1 of 9"] == where["work 2 of 9"]
    assert where["work 8 of 9"] == where["work 9 of 9"] == where[PAPER.finish_text]


def test_a_long_programme_begins_where_there_is_room_and_goes_on_overleaf() -> None:
    weeks = tuple(WeekPaper(f"Week {n}", "primed and painted") for n in range(1, 26))
    brief = "\n".join(["A line of the brief."] * 20)
    pdf = estimate_pdf(replace(PAPER, brief=brief, pieces=(), weeks=weeks))
    with pdfplumber.open(io.BytesIO(pdf)) as document:
        first, second = (page.extract_text() for page in document.pages[:2])
    assert "Week 3 primed" in first
    assert "Week 25 primed" in second


@pytest.mark.parametrize("size", ["A4", "Letter"])
@pytest.mark.parametrize("lines", range(4, 40, 5))
def test_one_signs_the_page_that_tells_the_price(lines: int, size: str) -> None:
    brief = "\n".join(["A line of the brief."] * lines)
    pdf = estimate_pdf(replace(PAPER, brief=brief, pieces=()), page_size=size)
    with pdfplumber.open(io.BytesIO(pdf)) as document:
        (signed,) = [
            text for page in document.pages if "To accept" in (text := page.extract_text())
        ]
    assert "Total £2,202.92" in signed
    assert "The deposit keeps the dates." in signed


@pytest.mark.parametrize("count", [30, 33, 36, 39, 42, 45])
@pytest.mark.parametrize("part", ["terms", "cautions"])
def test_after_a_page_of_terms_or_cautions_the_last_stays_with_the_signature(
    part: str, count: int
) -> None:
    told = tuple(f"No. {n} of what is agreed" for n in range(1, count + 1))
    plain = replace(PAPER, terms=(), cautions=())
    pdf = estimate_pdf(replace(plain, **{part: told}))
    with pdfplumber.open(io.BytesIO(pdf)) as document:
        (signed,) = [
            text for page in document.pages if "To accept" in (text := page.extract_text())
        ]
    assert f"No. {count} of what is agreed" in signed


WORK_OF_MANY_WORDS = (*("painted in thin coats" for _ in range(20)), "and the last of it")


@pytest.mark.parametrize(
    "amounts",
    [("£1,835.77", "£67.15", "£2,202.92"), ("1\u202f835,77\u00a0€", "67,15 €", "2 202,92\u00a0€")],
    ids=["pounds", "euro"],
)
def test_amounts_stand_with_their_decimals_under_one_another(amounts: tuple[str, ...]) -> None:
    net, tax, total = amounts
    pdf = estimate_pdf(replace(BARE, net=net, tax_label="Tax", tax=tax, total=total))
    with pdfplumber.open(io.BytesIO(pdf)) as document:
        letters = [letter for page in document.pages for letter in page.chars]
    ends = {}
    for last in ("77", "15", "92"):
        pairs = [
            (one, two)
            for one, two in pairwise(letters)
            if one["text"] + two["text"] == last and one["x0"] > 400
        ]
        ends[last] = round(pairs[-1][1]["x1"], 1)
    assert len(set(ends.values())) == 1


def test_the_fixed_words_can_be_in_another_language() -> None:
    words = Words(estimate="Kostenschätzung", total="Summe", page="Seite {page} von {pages}")
    text = text_of(estimate_pdf(replace(BARE, language="de-AT", words=words)))
    assert "Kostenschätzung 2026-014" in text
    assert "Summe £2,202.92" in text
    assert "Seite 1 von 1" in text


def test_a_script_the_fonts_do_not_hold_is_named_and_not_printed_as_boxes() -> None:
    with pytest.raises(MissingLettersError, match="no letters for 田 中") as caught:
        estimate_pdf(replace(PAPER, client_name="田中"))
    assert caught.value.letters == ("田", "中")


def test_mark_up_in_a_text_is_printed_as_typed() -> None:
    text = text_of(estimate_pdf(replace(BARE, title="<b>Red</b> & <para> {page}")))
    assert "<b>Red</b> & <para> {page}" in text


@pytest.mark.parametrize(
    ("steps", "sentence"),
    [
        ((), ""),
        (("sanded",), "Sanded."),
        (("sanded.", " ", "primed; "), "Sanded; primed."),
    ],
)
def test_steps_run_together_as_one_sentence(steps: tuple[str, ...], sentence: str) -> None:
    assert specification(steps) == sentence


line = st.sampled_from(["", "word", LONG, "x" * 900, "word " * 1000])
lines = st.lists(line, max_size=3).map(tuple)


@given(
    text=st.tuples(*[line] * 8),
    several=st.tuples(lines, lines, lines, lines),
    panels=st.integers(0, 3),
)
@settings(max_examples=8, deadline=None)
def test_no_length_of_text_breaks_the_paper(
    text: tuple[str, ...], several: tuple[tuple[str, ...], ...], panels: int
) -> None:
    client, title, brief, name, week, finish, label, size = text
    studio, terms, cautions, work = several
    panel = PanelPaper("A", name, size, size, work, "£1.00")
    paper = replace(
        PAPER,
        studio_name=client,
        studio_lines=studio,
        client_name=client,
        client_lines=studio,
        title=title,
        brief=brief,
        pieces=(PiecePaper(name, brief, PAPER.pieces[0].drawing, (panel,) * panels),),
        weeks=(WeekPaper(week, week),),
        finish_text=finish,
        sums=(SumLine(label, "£1.00"),),
        deposit_label=label,
        terms=terms,
        cautions=cautions,
    )
    assert estimate_pdf(paper).startswith(b"%PDF-")
