"""The paint tables against the publications they cite, and how much of them is published."""

import sys
from collections.abc import Iterator
from pathlib import Path

import pytest

from jobs.paint.binders import binder
from jobs.paint.cautions import cautions
from jobs.paint.drying import Climate, drying
from jobs.paint.film import wet_film_microns
from jobs.paint.gates import GATES
from jobs.paint.pigments import pigments, slowest_class
from jobs.paint.rules import rule
from jobs.paint.sources import (
    APART,
    FIRM,
    heading,
    publication,
    publications,
    sourced,
    tally,
)
from tests.outside.published import dry_words, limits, published_films, published_waits

ROOM = Climate(20, 50)
LEAST_SHARE = 0.8
"""At least this share of all rows has a published source, as the test below counts them."""
FLOORS = {"resting": 236, "firm": 213, "published": 94, "read": 346}
"""As many as there are: rows that rest on a publication, those left without forums and second-hand
pages, those with all they say, and single statements. Never fewer; they rise with the counts."""
QUOTED = ("dry_words.toml", "films.toml", "limits.toml", "published_waits.toml")
"""Tables that only quote what others publish, and so lift the share: counted without them too."""

# Published waits that contradict the one counted with: the table shows both to the painter.
CONTRADICTED = {
    "titanium-linseed": (
        "Golden measured 1-2 days; Winsor & Newton's newer page and a painters' list call "
        "titanium slow, their older page medium: the slowest is counted with"
    ),
    "titanium-safflower": "as with linseed oil, and slower by the oil's own published factor",
    "slow-alkyd-glaze": (
        "a decorator's alkyd glaze, 5-12 h; the row follows an artists' alkyd medium, of which "
        "its maker says 24-30 h"
    ),
    "gesso-coats": (
        "half an hour for coats thinned by a quarter; counted with are two, common practice for "
        "full coats on wood that drinks"
    ),
}


def every_row() -> Iterator[tuple[str, str]]:
    return ((row.file, row.key) for row in sourced())


def test_every_row_of_every_table_has_a_source() -> None:
    assert all(row.source.strip() for row in sourced())
    assert len(set(every_row())) == len(sourced())


def test_every_table_is_walked() -> None:
    folder = Path(__file__).parents[2] / "jobs" / "paint" / "data"
    assert {row.file for row in sourced()} == {file.name for file in folder.glob("*.toml")}


def test_four_rows_in_five_have_a_published_source_and_never_fewer_than_before(
    capsys: pytest.CaptureFixture[str],
) -> None:
    """A row has one if its source names a known publication in which part of it was read.

    Known is what stands in publications.toml, forums and second-hand pages among it; without
    those fewer than four in five rest on one, and that is printed beside. The other part of a
    row may be common practice or from memory: most pigments, for instance, have their drying
    class from a maker's page and their opacity from memory. What is only quoted from memory, or
    read on a page that is not named, is no published source. The strict count wants all that
    the row says read, and not in a forum. A statement is a part of a source between
    semicolons: two publications for one value are two. Rows that are so by definition claim
    nothing and are left out; so is what a table's head says of all its rows (packs, waste,
    prices, masstones by eye, strengths).
    """
    whole = tally(sourced())
    counted = tally(row for row in sourced() if row.file not in QUOTED)
    lines = [
        f"paint tables: {whole.resting} of {whole.rows} rows ({whole.share_resting:.1%}, at least "
        f"{LEAST_SHARE:.0%} wanted) name a publication in which at least PART of what they say "
        "was read",
        f"  without forums and second-hand pages: {whole.firm} rows ({whole.share_firm:.1%}), "
        f"{'at least' if whole.share_firm >= LEAST_SHARE else 'which is BELOW'} {LEAST_SHARE:.0%}",
        f"  strictly, ALL they say was read, in no forum: {whole.published} rows "
        f"({whole.share:.1%})",
        f"  single statements read: {whole.read} of {whole.statements} "
        f"({whole.read / whole.statements:.1%}): "
        + ", ".join(f"{kind} {whole.kinds[kind]}" for kind in (*FIRM, *APART)),
        f"  without the tables that only quote ({', '.join(QUOTED)}): {counted.resting} of "
        f"{counted.rows} rows in part ({counted.share_resting:.1%}), {counted.firm} without "
        f"forums ({counted.share_firm:.1%}), {counted.published} wholly ({counted.share:.1%})",
        *(
            f"  the floor of '{name}' may rise from {floor} to {getattr(whole, name)}"
            for name, floor in FLOORS.items()
            if getattr(whole, name) > floor
        ),
        *(f"  {words}" for words in _lacking()),
        f"published waits: {len(CONTRADICTED)} of {len(published_waits())} disagree with ours",
        *(f"  {key}: {why}" for key, why in CONTRADICTED.items()),
    ]
    with capsys.disabled():
        # A worker's standard output goes nowhere; its standard error is the terminal's.
        sys.stderr.write("\n" + "\n".join(lines) + "\n")
    assert whole.share_resting >= LEAST_SHARE
    for name, floor in FLOORS.items():
        assert getattr(whole, name) >= floor, name


def test_every_statement_names_a_known_publication_or_says_that_it_has_none() -> None:
    none = ("common practice", "from memory", "not named", "artists' list", "supplier's note")
    unknown = {
        (row.file, row.key): part
        for row in sourced()
        for part in row.statements
        if not publication(part)
        and not row.by_definition
        and not any(word in part for word in none)
    }
    # Which of that maker's pages, its source does not say: it counts as unread.
    assert unknown == {("pigments.toml", "PBk9"): "Winsor & Newton: medium"}


def test_every_known_publication_is_named_by_some_source() -> None:
    said = " ".join(row.source for row in sourced())
    assert [name for name in publications() if name not in said] == []


def _lacking() -> Iterator[str]:
    """Per table, which of its rows lack a publication, and of how many only part was read."""
    for file in sorted({row.file for row in sourced()}):
        rows = [row for row in sourced() if row.file == file and not row.by_definition]
        none = [row.key for row in rows if not row.rests_on_publication]
        part = [row.key for row in rows if row.partly]
        if none or part:
            yield f"{file}, only in part {len(part)} of {len(rows)}; none: {', '.join(none) or '-'}"


def test_what_is_practice_or_memory_is_not_counted_as_published() -> None:
    rows = {(row.file, row.key): row for row in sourced()}
    for file, key in (
        ("rules.toml", "no-key"),
        ("rules.toml", "graphite-on-dark"),
        ("pigments.toml", "PG18"),
        ("pigments.toml", "PG17"),
        ("drying_airing.toml", "still"),
    ):
        assert not rows[file, key].published
        assert not rows[file, key].rests_on_publication
    assert rows["pigments.toml", "PB29"].partly
    assert rows["binders.toml", "gesso"].partly
    assert rows["binders.toml", "oil-alkyd"].published
    assert rows["limits.toml", "toy-lead"].published
    assert rows["finishes.toml", "bare"].by_definition


def test_a_table_tells_what_holds_for_all_its_rows() -> None:
    assert heading("pigments.toml").startswith("Pigments by Colour Index name.")
    with pytest.raises(ValueError, match="no table"):
        heading("../binders.py")


@pytest.mark.parametrize("key", sorted(published_waits()))
def test_the_wait_counted_with_meets_the_published_one_or_says_why_not(key: str) -> None:
    # Each row names its own source: makers' pages, tests of pigments, sheets, tables of glazes.
    row = published_waits()[key]
    mix = [row.pigment] if row.pigment else _one_of_class(row.drying)
    wait = drying(
        row.binder,
        row.gate,
        ROOM,
        pigments=mix,
        thickness_um=row.thickness_um,
        medium=row.medium,
    )
    early, late = (wait.at(share).total_seconds() / 3600 for share in (0.05, 0.95))
    meets = early <= row.high and row.low <= late
    assert meets is (key not in CONTRADICTED)


def _one_of_class(drying_class: str) -> list[str]:
    if not drying_class:
        return []
    return [next(ci for ci in pigments() if slowest_class([ci]).key == drying_class)]


def test_the_rates_counted_with_are_the_published_ones() -> None:
    # The Paint Spot (gesso 9.29), makers' support articles (9.82), an oil ground's page (9.42).
    for row in published_films().values():
        if row.binder and row.rate and not row.source.startswith("common practice"):
            assert float(binder(row.binder).rate or 0) == pytest.approx(row.rate, rel=0.005)


def test_an_oil_coat_lies_as_thick_as_the_standard_film() -> None:
    # ASTM D1640-03 Table 1: oil paint 45 +/- 2.5 microns.
    standard = published_films()["standard-oil"].um
    assert wet_film_microns(binder("oil").rate or 0) == pytest.approx(standard, abs=2.5)


def test_the_hiding_tests_rate_and_film_agree() -> None:
    # ISO 6504-3:2006: 20 m2 per litre, 50 microns wet.
    film = published_films()["hiding-test"]
    assert wet_film_microns(film.rate or 0) == film.um


def test_graphite_and_white_pencil_part_at_the_lightness_the_rules_name() -> None:
    # CIELAB, ISO/CIE 11664-4: L* = 116 (Y)^(1/3) - 16.
    dark, light = rule("graphite-on-dark").darker_than, rule("white-on-light").lighter_than
    assert 116 * (dark or 0) ** (1 / 3) - 16 == pytest.approx(50, abs=0.1)
    assert 116 * (light or 0) ** (1 / 3) - 16 == pytest.approx(70, abs=0.1)


@pytest.mark.parametrize(
    ("key", "value"),
    [
        # EN 71-3:2019+A1:2021, category III, scraped-off coating, mg/kg.
        ("toy-lead", 23),
        ("toy-cadmium", 17),
        ("toy-cobalt", 130),
        ("toy-mercury", 94),
        # 73 FR 77492: 0.009 % from 14 August 2009.
        ("paint-lead", 90),
        # EH40/2005 and Directive (EU) 2017/2398.
        ("softwood-dust", 5),
        ("hardwood-dust-eu", 2),
    ],
)
def test_the_limits_are_those_of_the_law_they_cite(key: str, value: float) -> None:
    assert limits()[key].value == value


def test_limits_belong_to_cautions_and_words_to_gates() -> None:
    assert {each.caution for each in limits().values()} <= set(cautions())
    # ASTM D1640: touch comes before recoat, recoat before through-dry.
    gates = [each.gate for each in dry_words().values() if each.gate]
    assert gates == sorted(gates, key=list(GATES).index)


def test_the_window_for_wet_in_wet_is_that_of_the_published_pairs() -> None:
    # Review of alkyd tube colours (gadsbys.co.uk): workable 4-8 h of 18-24 h; P. Finkelstein's
    # table (2010): oil glaze open 0.5-1 h of 2-6 h; acrylic glazing liquid 5-10 min of 1-2 h.
    oil, water = rule("oil-window").window, rule("water-window").window
    assert max(4 / 24, 0.5 / 6) <= (oil or 0) <= min(8 / 18, 1 / 2)
    assert 5 / 120 <= (water or 0) <= 10 / 60
