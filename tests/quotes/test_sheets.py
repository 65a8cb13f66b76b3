"""The bench sheet and the care sheet of a commission: what the record says is what is printed."""

import re
from datetime import timedelta
from io import BytesIO

import pdfplumber
import pytest
from django.urls import reverse
from pypdf import PdfReader

from jobs.domain.curing import curing
from jobs.domain.gates import current_gate
from jobs.domain.workshop import workshop_of
from jobs.models import Commission, Mix, MixPart, Panel, Piece, Stage
from jobs.paint.binders import binder
from jobs.paint.gates import CURED
from jobs.paint.touch import span
from quotes.bench_sheets import write_bench_sheet
from quotes.care_sheets import write_care_sheet
from quotes.papers import draft_estimate
from schedule.models import PlannedSitting
from studio.domain.records import keep_record
from studio.formats import local, show_date
from studio.models import Studio
from studio.signals import hold_changes
from tests.cast import asked, painted, panel_of, piece_of, surface_of

DAY = timedelta(days=1)
STEPS = (
    ("sand", "none", 1, "none"),
    ("prime", "gesso", 2, "recoat"),
    ("grid", "pencil", 1, "none"),
    ("details", "oil", 1, "touch-dry"),
    ("varnish", "acrylic-varnish", 1, "cured"),
    ("cure", "none", 1, "none"),
)


@pytest.fixture(autouse=True)
def at_nine(clock):
    """Every test begins on Monday, 2 November 2026, at 09:00 in the studio."""


@pytest.fixture
def commission(anna) -> Commission:
    with hold_changes():
        commission = asked(anna.studio, agreed=True)
        panel = panel_of(surface_of(piece_of(commission)), steps=STEPS)
        mix = keep_record(Mix(studio=anna.studio, name="Poppy"))
        MixPart.objects.create(mix=mix, pigment="PR108", parts=3)
        MixPart.objects.create(mix=mix, pigment="PW6", parts=1)
        panel.stages.filter(kind="details").update(mix=mix, medium="linseed", film_um=70)
    Piece.objects.update(finish="bare")
    return commission


def words_of(answer) -> str:
    assert answer.status_code == 200
    assert answer["Content-Type"] == "application/pdf"
    with pdfplumber.open(BytesIO(answer.content)) as sheets:
        return " ".join(" ".join(page.extract_text().split()) for page in sheets.pages)


def bench_words(desk, commission) -> str:
    return words_of(desk.get(reverse("bench-sheet", args=[commission.number])))


def care_words(desk, commission) -> str:
    return words_of(desk.get(reverse("care-sheet", args=[commission.number])))


def paint_all(panel: Panel, person, clock) -> None:
    """Paint every coat, a month apart, and stand at the hour of the last."""
    for stage in panel.stages.all():
        for _ in range(stage.coats):
            clock.now += 30 * DAY
            painted(stage, by=person, end=clock.now)


def test_the_bench_sheet_tells_recipe_medium_film_and_waits_as_the_workshop_does(
    at_desk, commission
):
    words = bench_words(at_desk, commission)
    assert "oil colour with linseed oil, one" in words
    assert "thick (70 µm wet)" in words
    assert "Poppy: 3 cadmium red (PR108), 1 titanium white (PW6)" in words
    stage = Stage.objects.get(kind="details")
    wait = workshop_of(commission.studio).wait(stage, "touch-dry")
    flat = words.replace(" ", "")
    told = f"touch-dry, likely {span(wait.likely)}, surely {span(wait.surely)}"
    assert re.search(".*?".join(map(re.escape, told.replace(" ", ""))), flat)
    assert "Check that both diagonals measure 28.28 cm" in words


def test_a_film_is_told_beside_the_one_she_usually_lays(commission, clock):
    stage = Stage.objects.get(kind="details")
    usual = round(workshop_of(commission.studio).films.get("oil") or binder("oil").film_um)
    for film, told in ((None, "as usual"), (usual, "as usual"), (10, "thin"), (400, "thick")):
        Stage.objects.filter(pk=stage.pk).update(film_um=film)
        (piece,) = write_bench_sheet(fresh(), now=clock.now).pieces
        (work,) = [one.work for one in piece.panels[0].stages if one.name == stage.name]
        assert f"one coat, {told} ({film or usual}\u00a0µm\u00a0wet)" in work


def test_the_bench_sheet_tells_the_cautions_at_their_stage_and_in_full(at_desk, commission):
    words = bench_words(at_desk, commission)
    assert "Mind: dust from sanding" in words
    assert "cadmium pigment" in words
    for title in ("Dust from sanding", "Solvent vapour", "Rags with oil", "Cadmium pigment"):
        assert title in words
    assert "licensed practice come first" in words


def test_no_price_stands_on_the_bench_sheet(at_desk, commission):
    words = bench_words(at_desk, commission)
    assert not re.search(r"[£€$]|\bGBP\b|\bEUR\b", words)
    assert "price" not in words.lower()


def test_without_a_lay_out_stage_nothing_is_laid_out(at_desk, commission):
    Stage.objects.filter(kind="grid").delete()
    assert "Laying it out" not in bench_words(at_desk, commission)


def test_before_the_first_coat_the_care_sheet_says_what_is_planned(at_desk, commission):
    words = care_words(at_desk, commission)
    assert "Nothing is painted yet: this is what is planned." in words
    assert "Primed with acrylic gesso" in words
    assert "Painted with oil colour" in words
    stage = Stage.objects.get(kind="varnish")
    planned = PlannedSitting.objects.filter(stage=stage).latest("end").end
    wait = workshop_of(commission.studio).wait(stage, CURED.key)
    told = show_date(planned + wait.surely, commission.studio)
    assert f"is planned for {show_date(planned, commission.studio)}" in words
    assert f"surely by {told}" in words


def test_the_cure_on_the_care_sheet_is_the_one_the_gate_says(at_desk, commission, anna, clock):
    panel = Panel.objects.get()
    Stage.objects.filter(kind="cure").delete()
    paint_all(panel, anna, clock)
    gate = current_gate(Panel.objects.for_bench().get())
    assert gate.kind == CURED.key
    at_desk.force_login(anna)
    words, studio = care_words(at_desk, commission), commission.studio
    assert f"was laid on {show_date(gate.since, studio)}" in words
    assert f"likely cured by {show_date(gate.likely, studio)}" in words
    assert f"Handle it gently until {show_date(gate.surely, studio)}." in words
    assert "planned" not in words
    assert f"Anna, {studio.name}, between" in words.replace("The Blue Door", studio.name)
    clock.now = gate.surely + DAY
    assert f"has surely been cured since {show_date(gate.surely, studio)}" in " ".join(
        line for piece in write_care_sheet(fresh(), now=clock.now).pieces for line in piece.cured
    )


def test_what_hardens_beyond_nine_months_is_told_in_words_and_not_to_the_day(
    commission, anna, clock
):
    paint_all(Panel.objects.get(), anna, clock)
    (found,) = [curing(panel, workshop_of(anna.studio)) for panel in Panel.objects.for_bench()]
    beneath = found.beneath.likely

    def cured() -> str:
        return " ".join(write_care_sheet(fresh(), now=clock.now).pieces[0].cured)

    assert beneath - clock.now > 300 * DAY
    assert "oil colour beneath goes on hardening for a year or more; meanwhile" in cured()
    assert show_date(beneath, anna.studio) not in cured()
    clock.now = beneath - 100 * DAY
    assert f"goes on hardening until about {show_date(beneath, anna.studio)}" in cured()


def test_a_last_coat_of_oil_is_cured_in_a_year_or_more_and_on_no_day(commission, anna, clock):
    Stage.objects.filter(kind__in=("varnish", "cure")).delete()
    paint_all(Panel.objects.get(), anna, clock)
    (told,) = write_care_sheet(fresh(), now=clock.now).pieces[0].cured
    assert "goes on curing for a year or more: handle it gently meanwhile" in told
    assert "surely by" not in told


def fresh() -> Commission:
    return Commission.objects.select_related("studio", "client").get()


def test_a_panel_without_a_day_leaves_the_whole_piece_without_one(at_desk, commission):
    panel = Panel.objects.get()
    quick = panel_of(
        panel.surface, "Line", left=3000, steps=(("varnish", "acrylic-varnish", 2, "cured"),)
    )
    assert "is planned for" in care_words(at_desk, commission)
    PlannedSitting.objects.filter(stage__panel=quick, coat=2).delete()
    assert "The day of the last coat is not known yet" in care_words(at_desk, commission)


def test_the_slowest_panel_says_until_when_the_piece_is_to_be_handled_gently(
    at_desk, commission, anna, clock
):
    panel = Panel.objects.get()
    quick = panel_of(
        panel.surface, "Line", left=3000, steps=(("varnish", "acrylic-varnish", 1, "recoat"),)
    )
    painted(quick.stages.get(), by=anna, end=clock.now)
    paint_all(panel, anna, clock)
    at_desk.force_login(anna)
    words = care_words(at_desk, commission)
    last = panel.stages.get(kind="varnish").coat_ends[-1]
    assert f"was laid on {local(last, commission.studio):%-d %B %Y}" in words


def test_the_last_coat_of_the_last_layer_says_when_it_is_cured(at_desk, commission, anna, clock):
    panel = Panel.objects.get()
    panel.stages.filter(kind="varnish").update(coats=2)
    paint_all(panel, anna, clock)
    at_desk.force_login(anna)
    last = panel.stages.get(kind="varnish").coat_ends
    assert len(last) == 2
    words = care_words(at_desk, commission)
    assert f"The last coat, acrylic varnish, was laid on {show_date(last[1], panel.owner)}" in words
    assert last[1].date() != last[0].date()


def cured_words(now) -> str:
    return " ".join(
        line for piece in write_care_sheet(fresh(), now=now).pieces for line in piece.cured
    )


def test_the_panel_that_is_surely_cured_last_counts_though_another_likely_is(anna, clock):
    surface = surface_of(piece_of(asked(anna.studio, agreed=True)))
    oil = panel_of(surface, steps=(("first-oil", "oil", 1, "cured"),)).stages.get()
    steps = (("varnish", "acrylic-varnish", 1, "cured"),)
    varnish = panel_of(surface, "Line", left=3000, steps=steps).stages.get()
    long, short = (workshop_of(anna.studio).wait(one, CURED.key) for one in (oil, varnish))
    painted(oil, by=anna, end=clock.now)
    # Later likely by a day, and still sooner surely: what is quick is less unsure.
    painted(varnish, by=anna, end=clock.now + long.likely - short.likely + DAY)
    assert long.surely - long.likely > short.surely - short.likely + DAY
    between = clock.now + long.likely + DAY
    words, surely = cured_words(between), show_date(clock.now + long.surely, anna.studio)
    assert "The last coat, oil colour" in words
    assert f"Handle it gently until {surely}." in words


def test_the_owner_is_told_of_metals_in_the_paint_and_what_a_child_may_touch(at_desk, commission):
    words = care_words(at_desk, commission)
    assert "Cadmium pigment: cadmium red (PR108)." in words
    assert "do not sand, scrape or burn the paint" in words
    assert "Furniture for a child" not in words
    Piece.objects.update(use="child")
    words = care_words(at_desk, commission)
    assert "Furniture for a child" in words
    assert "Cadmium gives some of its reds" in words
    assert "dry-sand" not in words
    assert "licensed practice come first" in words


def test_the_estimate_tells_the_client_of_the_same_and_defers(commission, clock):
    def told() -> str:
        pdf = draft_estimate(fresh(), now=clock.now).pdf
        with pdfplumber.open(BytesIO(pdf)) as sheets:
            return " ".join(" ".join(page.extract_text().split()) for page in sheets.pages)

    assert "Please note" not in told()
    Piece.objects.update(use="child")
    assert "Cadmium pigment: Cadmium gives some of its reds" in told()
    assert "not for toys" not in told()
    assert "Furniture for a child:" in told()
    assert "licensed practice come first" in told()
    assert "Rags with oil" not in told()


def test_there_is_no_care_sheet_before_the_acceptance(at_desk, commission):
    Commission.objects.update(state="estimated")
    answer = at_desk.get(reverse("care-sheet", args=[commission.number]), follow=True)
    assert "from the acceptance on" in answer.content.decode()
    page = at_desk.get(reverse("commission", args=[commission.number])).content.decode()
    assert reverse("bench-sheet", args=[commission.number]) in page
    assert reverse("care-sheet", args=[commission.number]) not in page


def test_a_commission_without_panels_gets_papers_that_say_so(at_desk, anna):
    bare = asked(anna.studio, agreed=True)
    assert "No panel has been measured yet." in bench_words(at_desk, bare)
    assert "Nothing is planned for it yet." in care_words(at_desk, bare)


def test_a_name_that_cannot_be_printed_is_said_on_the_page(at_desk, commission):
    Commission.objects.update(title="田")
    for name in ("bench-sheet", "care-sheet"):
        answer = at_desk.get(reverse(name, args=[commission.number]), follow=True)
        assert "no letters for 田" in answer.content.decode()


def test_strangers_find_no_sheet(client, stranger, commission):
    client.force_login(stranger)
    for name in ("bench-sheet", "care-sheet"):
        assert client.get(reverse(name, args=[commission.number])).status_code == 404


def test_the_sheets_have_the_studios_paper_and_language(at_desk, commission):
    Studio.objects.update(locale="de_AT")
    answer = at_desk.get(reverse("care-sheet", args=[commission.number]))
    reader = PdfReader(BytesIO(answer.content))
    assert reader.root_object["/Lang"] == "en"
    assert float(reader.pages[0].mediabox.width) == pytest.approx(210 / 25.4 * 72, abs=0.1)
    assert "November" not in words_of(answer)
    Studio.objects.update(locale="en_US")
    answer = at_desk.get(reverse("bench-sheet", args=[commission.number]))
    reader = PdfReader(BytesIO(answer.content))
    assert reader.root_object["/Lang"] == "en-US"
    assert float(reader.pages[0].mediabox.width) == pytest.approx(612, abs=0.1)
