from pathlib import Path

import pytest

from jobs.paint.sources import Sourced, heading, sourced, tally


def row(source: str) -> Sourced:
    return Sourced("coats.toml", "coat", "a", "a coat", {}, source)


@pytest.mark.parametrize(
    ("source", "published", "read", "wholly"),
    [
        ("Wood Handbook chapter 16", True, True, True),
        ("rate: a maker's sheet; waits: common practice, from memory", True, True, False),
        ("ASTM D4302 class, from memory", True, False, False),
        ("common practice, no source", False, False, False),
        ("common practice, no source: from memory", False, False, False),
        ("by definition: a drawn line does not dry", False, False, False),
    ],
)
def test_a_source_tells_whether_it_was_published_and_read(
    source: str, published: bool, read: bool, wholly: bool
) -> None:
    found = row(source)
    assert (found.published, found.read, found.wholly) == (published, read, wholly)


def test_what_is_so_by_definition_is_left_out_of_the_share() -> None:
    rows = [row("Wood Handbook"), row("common practice, no source"), row("by definition: none")]
    found = tally(rows)
    assert (found.rows, found.published, found.share) == (2, 1, 0.5)
    assert tally([]).share == 0


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
