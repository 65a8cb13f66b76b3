"""The paint tables in the painter's words."""

import tomllib

import pytest

from jobs.paint.sources import sourced
from jobs.paint.words import FILE, lasting, named, rows_of, tables, told


def show(number) -> str:
    return f"{float(number):g}"


def test_every_table_and_every_column_has_words() -> None:
    words = tomllib.loads(FILE.read_text(encoding="utf-8"))
    assert set(tables()) <= set(words["tables"])
    for row in sourced():
        table = row.file.removesuffix(".toml")
        known = {*words["columns"], *words["in"].get(table, {})}
        assert set(row.values) <= known, table


def test_every_row_is_told_but_what_tells_nothing() -> None:
    counted = sum(len(told(table, show)) for table in tables())
    assert counted == len(sourced()) - 1, "only 'no coat' is left out"


def test_no_key_is_left_where_a_name_belongs() -> None:
    keys = {row.key for row in sourced() if "-" in row.key and row.name != row.key}
    for table in tables():
        for row in told(table, show):
            for fact in (*row.facts, *row.fine):
                # A few names are their own keys, such as "semi-opaque".
                assert fact.text not in keys, f"{table}, {row.key}: {fact.label} {fact.text}"


def test_a_row_says_its_values_with_their_units() -> None:
    gesso = next(row for row in told("binders", show) if row.key == "gesso")
    facts = {fact.label: fact.text for fact in gesso.facts}
    assert facts["One litre covers"] == "9.3 m² a coat"
    assert facts["Lost in pots and brushes"] == "25 %"
    assert facts["Not worked under"] == "10 °C"
    assert facts["Dry all through"].startswith("72 h (3 days)")
    assert facts["Dry all through"].endswith("never under 72 h")
    assert gesso.group == "Ground"


def test_four_cases_in_five_lie_within_the_spread_that_is_told() -> None:
    # Lognormal: median 2 h, sigma 0.35; quantiles 0.1 and 0.9 by scipy.stats.lognorm.
    gesso = next(row for row in told("binders", show) if row.key == "gesso")
    recoat = next(fact for fact in gesso.facts if fact.key == "recoat")
    assert recoat.text == "2 h; in four cases of five 1.3–3.1 h"


@pytest.mark.parametrize(
    ("hours", "words"),
    [(0.25, "0.25 h (15 min)"), (1, "1 h"), (36, "36 h"), (72, "72 h (3 days)"),
     (420, "420 h (17.5 days)"), (4392, "4392 h (183 days)")],
)  # fmt: skip
def test_a_wait_is_told_in_hours_and_in_what_suits_it(hours: float, words: str) -> None:
    assert lasting(hours, show) == words


def test_a_rule_is_a_sentence_of_its_own() -> None:
    rules = {row.key: row for row in told("rules", show)}
    assert rules["water-over-oil"].notes[0] == (
        "Water-borne paint does not hold on oil paint, however dry, and peels off later."
    )
    assert rules["water-over-oil"].group == "Does not go"
    assert not any("{" in note for row in rules.values() for note in row.notes)


def test_a_row_is_found_by_any_of_its_words_in_any_letters() -> None:
    (found,) = (row for row in told("pigments", show) if row.speaks_of("PB29"))
    assert found.speaks_of("ULTRAMARINE blue")
    assert not found.speaks_of("ultramarine red-hot")
    assert found.speaks_of("")


def test_names_are_found_for_keys_and_unknown_keys_are_told_plainly() -> None:
    assert named("binders", "oil-alkyd") == "oil colour with alkyd medium"
    assert named("gates", "recoat") == "ready to recoat"
    assert named("binders", "gold-size") == "gold size"
    assert rows_of("gold") == ()
