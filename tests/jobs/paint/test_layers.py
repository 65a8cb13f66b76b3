from datetime import UTC, datetime, timedelta, timezone

import pytest
from hypothesis import given
from hypothesis import strategies as st

from jobs.paint.binders import binders
from jobs.paint.drying import Climate
from jobs.paint.gates import GATES
from jobs.paint.layers import ALLOWED, REFUSED, Finding, Layer, findings, judge
from jobs.paint.pigments import pigments
from jobs.paint.substrates import finishes, substrates

PRIMED = Layer("gesso", "through-dry", coats=3)
LAYERS = st.builds(
    Layer,
    st.sampled_from(sorted(binders())),
    st.sampled_from(sorted(GATES)),
    st.integers(1, 4),
    kind=st.sampled_from(["", "clean", "sand", "seal", "prime"]),
    pigments=st.lists(st.sampled_from([*sorted(pigments()), "PX1"]), max_size=2).map(tuple),
    thickness_um=st.none() | st.floats(5, 500),
    colour=st.sampled_from(["", "#302820", "#f0ead8"]),
)
NO_FILM = st.builds(Layer, st.sampled_from(["none", "pencil", "wash"]), st.just("none"))
PANELS = st.tuples(
    st.lists(LAYERS, max_size=4),
    LAYERS,
    st.sampled_from(["", *sorted(substrates())]),
    st.sampled_from(["", *sorted(finishes())]),
)
NOON = datetime(2027, 3, 1, 12, tzinfo=UTC)


def refused(layers: list[Layer], **piece: object) -> tuple[Finding, ...]:
    return tuple(one for one in findings(layers, **piece) if one.level == REFUSED)


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
    assert (finding.level, finding.rule, finding.position) == ("refused", "oil-over-fresh-water", 1)
    assert (
        finding.text == "Oil colour would seal in the water that acrylic gesso still has to lose."
    )
    assert finding.mend == (
        "Let the acrylic gesso wait until it is dry all through: 72 hours at least."
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
    (finding,) = refused(layers, climate=Climate(8, 50))
    assert finding.text == "The room has 8 °C; acrylic is not worked under 10 °C."
    assert refused(layers, climate=Climate(12, 50)) == ()


@given(st.lists(LAYERS, max_size=6), st.data())
def test_sanding_or_drawing_in_between_hides_nothing_of_the_coats(
    layers: list[Layer], data: st.DataObject
) -> None:
    place = data.draw(st.integers(0, len(layers)))
    more = [*layers[:place], data.draw(NO_FILM), *layers[place:]]
    own = {"drawing-under-oil", "graphite-on-dark", "white-on-light", "draw-white"}
    before = [(one.level, one.text) for one in findings(layers) if one.rule not in own]
    assert [(one.level, one.text) for one in findings(more) if one.rule not in own] == before


@given(st.lists(PANELS, min_size=1, max_size=4), st.randoms(use_true_random=False))
def test_a_verdict_does_not_depend_on_the_order_in_which_panels_are_checked(
    panels: list[tuple[list[Layer], Layer, str, str]], chance: object
) -> None:
    def check(place: int) -> object:
        stack, layer, substrate, finish = panels[place]
        return judge(stack, layer, substrate=substrate, finish=finish, climate=Climate(15, 60))

    places = list(range(len(panels)))
    first = {place: check(place) for place in places}
    chance.shuffle(places)  # type: ignore[attr-defined]
    assert {place: check(place) for place in places} == first


@given(st.lists(LAYERS, max_size=6))
def test_the_gravest_finding_on_a_layer_is_what_judging_it_alone_says(
    layers: list[Layer],
) -> None:
    found = findings(layers)
    for place, layer in enumerate(layers):
        levels = {one.level for one in found if one.position == place}
        alone = judge(layers[:place], layer).level
        assert alone == next((each for each in ("refused", "caution") if each in levels), ALLOWED)


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
    with pytest.raises(ValueError, match="some thickness"):
        Layer("oil", thickness_um=-3)
    with pytest.raises(ValueError, match="written like"):
        Layer("oil", colour="brown")


def test_oil_over_dry_acrylic_is_allowed_with_its_reason() -> None:
    verdict = judge([PRIMED, Layer("acrylic", "through-dry")], Layer("oil"))
    assert (verdict.level, verdict.rule) == ("allowed", "oil-over-dry-water")
    assert verdict.why == "Oil colour holds well on acrylic that has lost its water."
    assert verdict.source


def test_where_no_rule_speaks_the_layer_is_allowed() -> None:
    verdict = judge([Layer("acrylic")], Layer("acrylic"))
    assert (verdict.level, verdict.rule, verdict.position) == ("allowed", "", 1)


def test_acrylic_over_oil_is_mended_by_an_isolating_coat() -> None:
    verdict = judge([Layer("oil", "cured")], Layer("acrylic"))
    assert "an isolating coat of dewaxed shellac" in verdict.mend


def test_a_wait_that_is_known_is_told_by_its_day_in_the_studios_own_time() -> None:
    dries = {"none": NOON, "through-dry": NOON + timedelta(days=13, hours=11, minutes=30)}
    here = timezone(timedelta(hours=1))
    stack = [Layer("gesso", "through-dry", coats=3)]
    verdict = judge(stack, Layer("oil"), at=NOON.astimezone(here), dries_at=dries)
    assert verdict.level == "refused"
    assert "until it is dry all through (likely 15 March): 72 hours" in verdict.mend
    assert verdict.wait_until == dries["through-dry"]
    later = NOON + timedelta(days=14)
    assert judge(stack, Layer("oil"), at=later, dries_at=dries).level == "allowed"


def test_a_wait_that_ends_today_is_told_by_the_clock_and_one_of_next_year_by_its_year() -> None:
    stack = [Layer("gesso")]
    soon = {"none": NOON, "recoat": NOON + timedelta(hours=2)}
    assert "(likely 14:00)" in judge(stack, Layer("acrylic"), at=NOON, dries_at=soon).mend
    far = {"none": NOON, "recoat": NOON + timedelta(days=365)}
    assert "(likely 29 February 2028)" in judge(stack, Layer("gesso"), at=NOON, dries_at=far).mend


def test_a_coat_that_is_not_where_the_method_has_it_is_cautioned_by_its_real_state() -> None:
    dries = {"none": NOON, "touch-dry": NOON + timedelta(hours=5)}
    stack = [PRIMED, Layer("oil", "touch-dry")]
    early = judge(stack, Layer("oil"), at=NOON + timedelta(hours=4), dries_at=dries)
    assert (early.level, early.rule) == ("caution", "too-early")
    dry = judge(stack, Layer("oil"), at=NOON + timedelta(hours=5), dries_at=dries)
    assert dry.level == "allowed"


def test_wet_in_wet_is_told_when_the_coat_ceased_to_be_open() -> None:
    dries = {"none": NOON, "touch-dry": NOON + timedelta(hours=28)}
    stack = [PRIMED, Layer("oil-alkyd", "none")]
    verdict = judge(stack, Layer("oil"), at=NOON + timedelta(hours=10), dries_at=dries)
    assert (verdict.level, verdict.rule) == ("caution", "oil-window")
    assert "was open until 19:00" in verdict.why


def test_an_instant_without_its_zone_is_refused() -> None:
    naive = NOON.replace(tzinfo=None)
    with pytest.raises(ValueError, match="time zone"):
        judge([Layer("gesso")], Layer("oil"), at=naive)
    with pytest.raises(ValueError, match="no gate 'bone-dry'"):
        judge([Layer("gesso")], Layer("oil"), at=NOON, dries_at={"bone-dry": NOON})


def test_sanding_after_the_first_coat_mends_the_raised_grain() -> None:
    bare = {"substrate": "hardwood", "finish": "bare"}
    first, second = Layer("gesso"), Layer("gesso", coats=2)
    sand = Layer("none", "none", kind="sand")
    assert [one.rule for one in findings([first, second], **bare)] == ["raised-grain"]
    assert findings([first, sand, second], **bare) == ()


def test_a_waxed_piece_is_refused_until_it_is_cleaned_and_sealed() -> None:
    clean, seal = Layer("spirit", kind="dewax"), Layer("shellac", "through-dry", kind="seal")
    waxed = {"substrate": "softwood", "finish": "waxed"}
    assert [one.rule for one in refused([Layer("gesso")], **waxed)] == ["water-on-wax"]
    assert [one.rule for one in refused([seal, Layer("gesso")], **waxed)] == ["paint-on-wax"]
    assert findings([clean, seal, Layer("gesso")], **waxed) == ()


def test_an_unknown_substrate_or_finish_is_answered_with_a_sentence() -> None:
    with pytest.raises(ValueError, match="There is no substrate 'cheese'"):
        judge([], Layer("oil"), substrate="cheese")
    with pytest.raises(ValueError, match="There is no finish 'gilt'"):
        findings([Layer("oil")], finish="gilt")
