import pytest

from jobs.labour.methods import (
    UNDECIDED_GROUND_EXTRA_COATS,
    labour_rules,
    method_sheets,
)
from jobs.labour.stages import client_words, coat_words, stage_kind, stage_kinds
from jobs.paint.layers import findings

SHEETS = sorted(method_sheets())


@pytest.mark.parametrize("key", SHEETS)
def test_a_shipped_method_breaks_no_rule_of_layering(key: str) -> None:
    assert findings([stage.layer for stage in method_sheets()[key].stages]) == ()


@pytest.mark.parametrize("key", SHEETS)
def test_a_shipped_method_suits_beech_and_sound_old_paint_as_it_stands(key: str) -> None:
    layers = [stage.layer for stage in method_sheets()[key].stages]
    assert findings(layers, substrate="hardwood", finish="bare") == ()
    assert findings(layers, substrate="hardwood", finish="painted") == ()


@pytest.mark.parametrize("key", SHEETS)
def test_a_shipped_method_is_cautioned_on_bare_oak_for_want_of_a_stain_block(key: str) -> None:
    layers = [stage.layer for stage in method_sheets()[key].stages]
    found = findings(layers, substrate="tannin-rich", finish="bare")
    assert [one.rule for one in found] == ["stains"]


@pytest.mark.parametrize("key", SHEETS)
def test_a_shipped_method_settles_the_ground_before_anything_is_painted(key: str) -> None:
    stages = [stage.kind for stage in method_sheets()[key].stages]
    ground = next(place for place, kind in enumerate(stages) if kind.places_ground)
    assert {kind.key for kind in stages[:ground]} == {"clean", "sand", "prime"}
    assert stages[-2].key == "varnish"
    assert stages[-1].key == "cure"


@pytest.mark.parametrize("key", SHEETS)
def test_a_shipped_method_says_where_it_comes_from(key: str) -> None:
    assert method_sheets()[key].source


def test_the_five_methods_a_studio_starts_with_are_there() -> None:
    assert SHEETS == ["acrylic", "interlace-oil", "landscape-oil", "one-colour", "plain-ground"]


def test_oil_begins_only_after_the_last_acrylic_is_dry_all_through() -> None:
    for key in ("interlace-oil", "landscape-oil"):
        stages = method_sheets()[key].stages
        first = next(place for place, stage in enumerate(stages) if stage.binder == "oil-alkyd")
        assert stages[first - 1].gate == "through-dry"


def test_an_interlace_ends_in_highlights_before_the_varnish() -> None:
    kinds = [stage.kind.key for stage in method_sheets()["interlace-oil"].stages]
    assert kinds[-4:] == ["details", "highlights", "varnish", "cure"]


def test_every_stage_the_trade_names_has_its_kind() -> None:
    trade = (
        "clean sand prime ground-colour grid draw mid-tone shadows background first-oil gradient "
        "details highlights glaze varnish cure"
    )
    besides = {"dewax", "seal", "letter", "isolate", "wax-finish"}
    assert [key for key in stage_kinds() if key not in besides] == trade.split()


def test_every_kind_of_stage_says_where_it_comes_from() -> None:
    assert all(kind.source for kind in stage_kinds().values())


def test_only_priming_drawing_and_the_like_leave_the_cross_section_alone() -> None:
    bare = {key for key, kind in stage_kinds().items() if not kind.is_coat}
    assert bare == {"dewax", "clean", "sand", "grid", "draw", "cure"}


def test_the_client_reads_plain_words() -> None:
    words = client_words("prime", coats=3, binder="gesso")
    assert words == "primed with three coats of acrylic gesso"
    assert client_words("prime", coats=1, binder="gesso") == "primed with one coat of acrylic gesso"
    assert client_words("draw", coats=1, binder="pencil") == "design drawn on the panel"
    told = client_words("shadows", coats=2, binder="acrylic")
    assert told == "shadows laid in acrylic, two coats"


@pytest.mark.parametrize("key", sorted(stage_kinds()))
def test_no_placeholder_is_left_for_the_client(key: str) -> None:
    kind = stage_kind(key)
    assert "{" not in client_words(key, coats=kind.coats, binder=kind.binder)


def test_coats_are_counted_in_words_up_to_ten() -> None:
    assert [coat_words(n) for n in (1, 2, 10, 12)] == [
        "one coat",
        "two coats",
        "ten coats",
        "12 coats",
    ]


def test_an_undecided_ground_is_priced_in_coats() -> None:
    rule = labour_rules()["undecided-ground-extra-coats"]
    assert UNDECIDED_GROUND_EXTRA_COATS == rule.value >= 1
    assert rule.source == "common practice, no source"


def test_unknown_kinds_and_binders_are_answered_with_a_sentence() -> None:
    with pytest.raises(ValueError, match="There is no kind of stage 'gild'"):
        stage_kind("gild")
    with pytest.raises(ValueError, match="There is no binder 'tar'"):
        client_words("prime", coats=1, binder="tar")
