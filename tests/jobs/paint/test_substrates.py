import pytest

from jobs.labour.stages import stage_kinds
from jobs.paint.fatness import fatness, fatnesses
from jobs.paint.substrates import finish, finishes, needs, preparations, substrates


def test_bare_oak_and_pine_want_a_stain_block_and_beech_does_not() -> None:
    assert [each.key for each in needs("tannin-rich", "bare")] == ["stain-block"]
    assert [each.key for each in needs("softwood", "bare")] == ["stain-block"]
    assert needs("hardwood", "bare") == ()


def test_under_old_paint_the_wood_asks_for_nothing_and_the_paint_does() -> None:
    assert [each.key for each in needs("tannin-rich", "painted")] == ["degrease", "key"]
    assert [each.key for each in needs("softwood", "waxed")] == ["dewax", "isolate"]


def test_every_need_can_be_met_by_a_stage_or_a_coat_there_is() -> None:
    wanted = {key for each in (*substrates().values(), *finishes().values()) for key in each.needs}
    for key in wanted:
        done_by = preparations()[key]
        assert set(done_by.kinds) & set(stage_kinds()) or done_by.roles


def test_an_unknown_piece_is_taken_on_the_safe_side() -> None:
    assert set(finish("unknown").needs) >= set(finish("painted").needs)


def test_more_oil_in_a_medium_makes_a_coat_fatter_and_solvent_leaner() -> None:
    assert fatness("oil", "solvent") < fatness("oil") < fatness("oil", "linseed")
    assert fatness("glaze") > fatness("oil-alkyd") == fatness("oil")
    assert fatness("linseed") == fatness("oil"), "a medium is no binder"
    assert all(each.source for each in fatnesses().values())


def test_unknown_names_are_answered_with_a_sentence() -> None:
    with pytest.raises(ValueError, match="There is no substrate 'cheese'"):
        needs("cheese", "bare")
    with pytest.raises(ValueError, match="There is no finish 'gilt'"):
        needs("metal", "gilt")
