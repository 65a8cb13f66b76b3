from pathlib import Path

import pytest

from jobs.paint.sources import Sourced, heading, sourced, tally

HANDBOOK = "Wood Handbook FPL-GTR-190 chapter 16"
SHEET = "Gamblin, Oil Ground page"
FORUM = "Fine Woodworking forum"


def row(source: str) -> Sourced:
    return Sourced("coats.toml", "coat", "a", "a coat", {}, source)


@pytest.mark.parametrize(
    ("source", "published", "partly"),
    [
        (f"{HANDBOOK}", True, False),
        (f"{HANDBOOK} (2010)", True, False),
        (f"rate: {SHEET}; waits: {HANDBOOK}", True, False),
        (f"rate: {SHEET}; waits: common practice, from memory", False, True),
        (f"rate: {SHEET}; waits: common practice, taken as oil", False, True),
        (f"rate: {SHEET}; waits: somebody's own word", False, True),
        (f"rate: {SHEET}; waits: {FORUM}", False, True),
        (FORUM, False, True),
        (f"{SHEET}, as told on the {FORUM}", False, True),
        ("whatever holds no warning word", False, False),
        ("ASTM D4302 class, from memory", False, False),
        ("opacity: a supplier's note", False, False),
        ("10 mil: a product sheet, not named", False, False),
        ("opacity: artists' lists", False, False),
        (f"opacity: artists' lists, not named; drying: {SHEET}", False, True),
        ("common practice, no source", False, False),
        ("common practice, no source: from memory", False, False),
        ("by definition: a drawn line does not dry", False, False),
    ],
)
def test_a_row_is_published_only_if_all_it_says_was_read(
    source: str, published: bool, partly: bool
) -> None:
    found = row(source)
    assert (found.published, found.partly) == (published, partly)
    assert found.rests_on_publication is (published or partly)


def test_what_is_so_by_definition_is_left_out_of_the_share() -> None:
    sources = (HANDBOOK, f"rate: {SHEET}; waits: common practice", "by definition: none")
    found = tally([row(source) for source in sources])
    assert (found.rows, found.published, found.partly, found.share) == (2, 1, 1, 0.5)
    assert (found.statements, found.read) == (3, 2)
    assert (found.resting, found.share_resting) == (2, 1)
    assert tally([]).share == tally([]).share_resting == 0


def test_forums_and_second_hand_pages_are_counted_apart() -> None:
    sources = (HANDBOOK, FORUM, f"{SHEET}; {FORUM}", "engineerfix.com")
    found = tally([row(source) for source in sources])
    assert (found.resting, found.firm, found.published) == (4, 2, 1)
    assert found.kinds == {"book": 1, "forum": 2, "maker": 1, "second-hand": 1}


def test_the_words_for_a_page_never_tell_the_looser_count_alone() -> None:
    sources = (HANDBOOK, f"rate: {SHEET}; waits: common practice", "common practice", FORUM)
    words = tally([row(source) for source in sources]).words
    assert "Of 4 rows 3 (75.0%) name a publication" in words
    assert "; 2 (50.0%) if forums and second-hand pages are left out" in words
    assert "Of 1 (25.0% of all) everything was" in words
    assert tally([]).words == "Nothing here needs a source."


def test_a_new_table_is_found_without_code_and_told_in_words(tmp_path: Path) -> None:
    (tmp_path / "coats.toml").write_text(
        "# Coats, as\n# they are.\n\n"
        '[[coat]]\nkey = "a"\nname = "a coat"\nrate = 9.3\nwet = true\nmedia = ["", "linseed"]\n'
        'source = "a sheet"\n[coat.waits]\nrecoat = { hours = 2 }\n',
        encoding="utf-8",
    )
    (found,) = sourced(tmp_path)
    assert (found.file, found.table, found.key, found.name) == ("coats.toml", "coat", "a", "a coat")
    assert found.values == {
        "rate": "9.3",
        "wet": "yes",
        "media": "none, linseed",
        "waits": "recoat hours 2",
    }
    assert heading("coats.toml", tmp_path) == "Coats, as they are."


def test_a_row_without_a_source_is_named(tmp_path: Path) -> None:
    (tmp_path / "coats.toml").write_text('[[coat]]\nkey = "a"\n', encoding="utf-8")
    with pytest.raises(ValueError, match=r"coats\.toml, a: source is missing"):
        sourced(tmp_path)
