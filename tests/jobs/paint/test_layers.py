import pytest
from hypothesis import given
from hypothesis import strategies as st

from jobs.paint.binders import binders
from jobs.paint.drying import Climate
from jobs.paint.gates import GATES
from jobs.paint.layers import Finding, Layer, findings, refusals

PRIMED = Layer("gesso", "through-dry", coats=3)
LAYERS = st.builds(
    Layer, st.sampled_from(sorted(binders())), st.sampled_from(sorted(GATES)), st.integers(1, 4)
)
NO_FILM = st.builds(Layer, st.sampled_from(["none", "pencil", "wash"]), st.just("none"))


def verdicts(*layers: Layer) -> list[tuple[str, int]]:
    return [(one.level, one.position) for one in findings(layers)]


def test_oil_over_acrylic_that_has_lost_its_water_is_allowed() -> None:
    assert verdicts(PRIMED, Layer("acrylic", "through-dry"), Layer("oil", "touch-dry")) == []


def test_acrylic_over_oil_is_refused_however_long_it_dried() -> None:
    assert verdicts(PRIMED, Layer("oil", "cured"), Layer("acrylic")) == [("refused", 2)]


def test_acrylic_varnish_over_oil_is_refused() -> None:
    assert verdicts(PRIMED, Layer("oil", "cured"), Layer("acrylic-varnish")) == [("refused", 2)]


def test_shellac_parts_oil_from_the_acrylic_over_it() -> None:
    assert verdicts(PRIMED, Layer("oil", "cured"), Layer("shellac"), Layer("acrylic")) == []


def test_oil_over_gesso_only_ready_to_recoat_is_refused_with_the_wait() -> None:
    (finding,) = findings([Layer("gesso", "recoat", coats=3), Layer("oil")])
    assert finding == Finding(
        "refused",
        1,
        "Oil colour would seal in the water that acrylic gesso still has to lose.",
        "Let the acrylic gesso wait until it is dry all through: 72 hours at least.",
    )


def test_a_drawing_between_does_not_hide_the_coat_under_it() -> None:
    layers = [Layer("gesso", "recoat", coats=3), Layer("pencil", "none"), Layer("oil")]
    assert verdicts(*layers) == [("refused", 2)]


def test_oil_on_a_single_coat_of_ground_is_cautioned() -> None:
    assert verdicts(Layer("gesso", "through-dry", coats=1), Layer("oil")) == [("caution", 1)]


def test_oil_wet_in_wet_is_allowed() -> None:
    assert verdicts(PRIMED, Layer("oil", "none"), Layer("oil", "touch-dry")) == []


def test_varnish_on_wet_paint_is_refused() -> None:
    assert verdicts(PRIMED, Layer("oil", "none"), Layer("resin-varnish")) == [("refused", 2)]


def test_varnish_on_oil_only_touch_dry_is_refused() -> None:
    assert verdicts(PRIMED, Layer("oil", "touch-dry"), Layer("resin-varnish")) == [("refused", 2)]


def test_varnish_on_acrylic_only_ready_to_recoat_is_cautioned() -> None:
    assert verdicts(Layer("acrylic"), Layer("acrylic-varnish")) == [("caution", 1)]


def test_painting_over_varnish_is_cautioned() -> None:
    assert verdicts(Layer("acrylic-varnish", "cured"), Layer("acrylic")) == [("caution", 1)]


def test_a_quick_oil_over_a_slow_one_is_cautioned_until_it_is_dry_all_through() -> None:
    assert verdicts(PRIMED, Layer("oil", "touch-dry"), Layer("glaze")) == [("caution", 2)]
    assert verdicts(PRIMED, Layer("oil", "through-dry"), Layer("glaze")) == []


def test_acrylic_in_a_cold_room_is_refused() -> None:
    layers = [Layer("acrylic")]
    (finding,) = refusals(layers, climate=Climate(8, 50))
    assert finding.text == "The room has 8 °C; acrylic is not worked under 10 °C."
    assert refusals(layers, climate=Climate(12, 50)) == ()


@given(st.lists(LAYERS, max_size=6), st.data())
def test_sanding_or_drawing_in_between_changes_no_verdict(
    layers: list[Layer], data: st.DataObject
) -> None:
    place = data.draw(st.integers(0, len(layers)))
    more = [*layers[:place], data.draw(NO_FILM), *layers[place:]]
    moved = [(one.level, one.text) for one in findings(layers)]
    assert [(one.level, one.text) for one in findings(more)] == moved


@given(st.lists(LAYERS, max_size=6))
def test_every_finding_says_why_and_what_mends_it(layers: list[Layer]) -> None:
    for one in findings(layers):
        assert one.level in {"refused", "caution"}
        assert 0 <= one.position < len(layers)
        assert one.text.endswith(".")
        assert one.mend.endswith(".")


def test_layers_that_make_no_sense_are_refused() -> None:
    with pytest.raises(ValueError, match="no gate"):
        Layer("oil", "bone-dry")
    with pytest.raises(ValueError, match="one coat at least"):
        Layer("oil", coats=0)
    with pytest.raises(ValueError, match="no binder"):
        findings([Layer("tar")])
