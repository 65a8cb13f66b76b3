import shutil
from decimal import Decimal
from pathlib import Path

import pytest

from jobs.paint.binders import binder, binders
from jobs.paint.cautions import cautions
from jobs.paint.gates import GATES
from jobs.paint.pigments import drying_classes, pigment, pigments
from jobs.paint.table import (
    CAUTIONS,
    Column,
    caution_keys,
    many_of,
    number,
    one_of,
    optional,
    read_rows,
    text,
    whole,
    yes_no,
)

COLUMNS = {
    "key": Column(text),
    "coats": Column(whole(1, 9)),
    "rate": optional(number(1, 50), None),
    "family": optional(one_of(("oil", "water")), "oil"),
    "hazards": optional(many_of(("solvents",)), ()),
    "film": optional(yes_no, False),
}
GOOD = '[[coat]]\nkey = "a"\ncoats = 2\nsource = "common practice, no source"\n'


def read(tmp_path: Path, content: str) -> tuple[dict[str, object], ...]:
    file = tmp_path / "coats.toml"
    file.write_text(content, encoding="utf-8")
    return read_rows(file, "coat", COLUMNS)


def test_a_whole_row_is_read_with_defaults_filled_in(tmp_path: Path) -> None:
    (row,) = read(tmp_path, GOOD)
    assert row == {
        "key": "a",
        "coats": 2,
        "rate": None,
        "family": "oil",
        "hazards": (),
        "film": False,
        "source": "common practice, no source",
    }


@pytest.mark.parametrize(
    ("content", "complaint"),
    [
        (GOOD + 'colour = "red"\n', "unknown column colour"),
        ('[[coat]]\nkey = "a"\ncoats = 2\n', "source is missing"),
        (GOOD.replace("common practice, no source", " "), "source: needs words"),
        (GOOD + 'family = "tar"\n', "family: 'tar' is none of oil, water"),
        (GOOD + 'hazards = ["fire"]\n', "hazards: 'fire' is none of solvents"),
        (GOOD + 'hazards = "solvents"\n', "hazards: needs a list"),
        (GOOD + "rate = 60.5\n", "rate: 60.5 is not between 1 and 50"),
        (GOOD + 'rate = "ten"\n', "rate: needs a number"),
        (GOOD + "film = 1\n", "film: needs true or false"),
        (GOOD.replace("2", "0"), "coats: 0 is not between 1 and 9"),
        (GOOD.replace("2", "1.5"), "coats: needs a whole number"),
    ],
)
def test_a_bad_row_is_refused_by_file_and_row(tmp_path: Path, content: str, complaint: str) -> None:
    with pytest.raises(ValueError, match=rf"coats\.toml, row 1 \(a\): {complaint}"):
        read(tmp_path, content)


def test_the_ends_of_a_range_belong_to_it_to_the_last_digit() -> None:
    assert number(0.2, 5)(Decimal("0.2")) == Decimal("0.2")
    with pytest.raises(ValueError, match="not between"):
        number(0.2, 5)(Decimal("0.19"))


def test_a_key_that_occurs_twice_is_refused(tmp_path: Path) -> None:
    with pytest.raises(ValueError, match=r"coats\.toml, row 2 \(a\): key occurs twice"):
        read(tmp_path, GOOD + GOOD)


def test_a_file_of_other_rows_is_refused(tmp_path: Path) -> None:
    with pytest.raises(ValueError, match=r"expects only rows \[\[coat\]\]"):
        read(tmp_path, GOOD.replace("[[coat]]", "[[film]]"))


def test_every_shipped_row_says_where_it_comes_from() -> None:
    tables = [binders(), pigments(), cautions(), drying_classes()]
    assert all(row.source for table in tables for row in table.values())


def test_every_hazard_of_binders_and_pigments_has_a_caution() -> None:
    hazards = {hazard for each in binders().values() for hazard in each.hazards}
    hazards |= {each.hazard for each in pigments().values() if each.hazard}
    assert hazards <= set(cautions())


def test_a_caution_written_as_a_row_may_be_named_as_a_hazard_without_code(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    data = tmp_path / "data"
    shutil.copytree(CAUTIONS.parent, data)
    row = '\n[[caution]]\nkey = "arsenic"\n'
    (data / "cautions.toml").write_text(CAUTIONS.read_text(encoding="utf-8") + row)
    file = data / "pigments.toml"
    file.write_text(
        file.read_text(encoding="utf-8").replace('hazard = "mercury"', 'hazard = "arsenic"')
    )
    monkeypatch.setattr("jobs.paint.pigments.DATA", data)
    with pytest.raises(ValueError, match="'arsenic' is none of"):
        pigments.__wrapped__()
    monkeypatch.setattr("jobs.paint.table.CAUTIONS", data / "cautions.toml")
    caution_keys.cache_clear()
    try:
        assert pigments.__wrapped__()["PR106"].hazard == "arsenic"
    finally:
        caution_keys.cache_clear()


def test_a_film_knows_all_its_gates_and_what_leaves_none_needs_no_paint() -> None:
    for each in binders().values():
        if each.leaves_film:
            assert ["none", *each.waits] == list(GATES)
        else:
            assert (each.rate, each.pack_ml) == (None, 0)


def test_unknown_names_are_answered_with_a_sentence() -> None:
    with pytest.raises(ValueError, match="There is no binder 'tar'"):
        binder("tar")
    with pytest.raises(ValueError, match="The pigment 'PX1' is not in the table"):
        pigment("PX1")
