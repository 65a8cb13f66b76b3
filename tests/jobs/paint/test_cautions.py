import pytest

from jobs.labour.stages import stage_kind
from jobs.paint.cautions import USES, cautions, cautions_for


def keys(**work: object) -> list[str]:
    plain: dict[str, object] = {"existing_finish": "bare", **work}
    return [caution.key for caution in cautions_for(**plain)]  # type: ignore[arg-type]


@pytest.mark.parametrize(
    ("year", "finish", "asked"),
    [
        (1900, "painted", True),
        (1992, "painted", True),
        (1993, "painted", False),
        (None, "painted", True),
        (None, "unknown", True),
        (1900, "varnished", True),
        (1977, "waxed", True),
        (None, "oiled", True),
        (1960, "shellacked", True),
        (2010, "waxed", False),
        (1900, "bare", False),
        (2020, "unknown", False),
    ],
)
def test_lead_is_asked_about_on_old_finishes(year: int | None, finish: str, asked: bool) -> None:
    assert ("lead-paint" in keys(existing_finish=finish, built_in_year=year)) is asked


def test_oil_calls_for_care_with_solvents_and_rags() -> None:
    assert keys(binders=["oil"]) == ["solvents", "oily-rags"]
    assert keys(binders=["acrylic", "pencil", "none"]) == []


def test_sanding_calls_for_a_mask() -> None:
    assert keys(named=stage_kind("sand").cautions) == ["sanding-dust"]
    assert keys(named=stage_kind("draw").cautions) == []


@pytest.mark.parametrize(
    ("ci", "caution"),
    [
        ("PR108", "cadmium"),
        ("PY35", "cadmium"),
        ("PB28", "cobalt"),
        ("PG26", "cobalt"),
        ("PW1", "lead-white"),
        ("PR106", "mercury"),
        ("PG18", "chromium"),
        ("PG17", "chromium"),
        ("PV16", "manganese"),
        ("PBr7", "manganese"),
    ],
)
def test_poisonous_pigments_are_named(ci: str, caution: str) -> None:
    assert keys(pigments=[ci]) == [caution]


def test_a_pigment_that_is_not_in_the_table_stops_nothing() -> None:
    assert keys(pigments=["PX1", "PB29"]) == []


def test_childrens_and_food_furniture_have_their_cautions_for_the_client() -> None:
    assert keys(use="child") == ["child-furniture"]
    assert keys(use="food") == ["food-contact"]
    assert all(caution.client for caution in cautions_for(existing_finish="bare", use="child"))


def test_wax_is_taken_off_with_a_solvent() -> None:
    assert keys(existing_finish="waxed", built_in_year=2010) == ["solvents"]


def test_the_owner_is_told_of_cadmium_where_a_child_or_food_comes_near() -> None:
    told = cautions()["cadmium"]
    assert {use for use in USES if told.concerns_client(use)} == {"child", "food"}
    assert all(cautions()["lead-white"].concerns_client(use) for use in USES)
    assert not any(cautions()["oily-rags"].concerns_client(use) for use in USES)


def test_every_danger_of_the_trade_that_we_answer_for_has_a_row() -> None:
    # Old paint, dust, cadmium, cobalt, lead white, solvents, rags, a child, food.
    asked = {
        "lead-paint", "sanding-dust", "cadmium", "cobalt", "lead-white", "solvents", "oily-rags",
        "child-furniture", "food-contact",
    }  # fmt: skip
    assert asked <= set(cautions())
    assert all(each.source.strip() for each in cautions().values())


def test_nothing_known_about_the_piece_is_taken_on_the_safe_side() -> None:
    assert [caution.key for caution in cautions_for()] == ["lead-paint"]


def test_every_caution_defers_to_local_rules() -> None:
    assert [key for key, each in cautions().items() if "local rules" not in each.text] == []


def test_whatever_concerns_the_client_has_her_own_words_and_nothing_else_has() -> None:
    concerning = {key for key, each in cautions().items() if each.client or each.client_uses}
    assert {key for key, each in cautions().items() if each.to_client} == concerning


def test_the_clients_words_are_short_defer_and_hold_no_bench_rules() -> None:
    # What must not be sold for a child is refused by the layering rules, not by a word to her.
    of_the_bench = ("spray", "dry-sand", "protect hands", "wash hands", "never use", "not for")
    for key, each in cautions().items():
        if not each.to_client:
            continue
        assert "local rules" in each.to_client.lower(), key
        assert len(each.to_client) <= 240, key
        assert [word for word in of_the_bench if word in each.to_client] == [], key


def test_unknown_answers_are_refused() -> None:
    with pytest.raises(ValueError, match="no finish 'lacquered'"):
        cautions_for(existing_finish="lacquered")
    assert "toy" not in USES
    with pytest.raises(ValueError, match="no use 'toy'"):
        cautions_for(use="toy")
    with pytest.raises(ValueError, match="no caution 'gilding'"):
        cautions_for(named=["gilding"])
