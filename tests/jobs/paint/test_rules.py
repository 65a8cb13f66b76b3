"""Each rule of the table: a smallest case in which it speaks, and one in which it does not."""

from dataclasses import dataclass, field
from datetime import UTC, datetime, timedelta
from pathlib import Path

import pytest

from jobs.paint.drying import Climate
from jobs.paint.layers import Layer, verdicts
from jobs.paint.rules import LEVELS, rule, rules
from jobs.paint.stack import Case
from jobs.paint.substrates import finish, substrate

NOON = datetime(2027, 3, 1, 12, tzinfo=UTC)
GESSO = Layer("gesso", "through-dry", coats=3)
DARK, LIGHT = "#302820", "#f0ead8"
ALKYD_WET = Layer("oil-alkyd", "none")
DRIES = {
    "none": NOON,
    "touch-dry": NOON + timedelta(hours=28),
    "recoat": NOON + timedelta(hours=28),
    "through-dry": NOON + timedelta(days=14),
}


@dataclass(frozen=True)
class On:
    """One coat laid on others, and what is known besides."""

    layers: tuple[Layer, ...]
    more: dict[str, object] = field(default_factory=dict)

    def speaking(self) -> set[str]:
        *below, upper = self.layers
        return {one.rule for one in verdicts(Case(upper, tuple(below), **self.more))}  # type: ignore[arg-type]


def on(*layers: Layer, **more: object) -> On:
    return On(layers, more)


def piece(key: str, of: str = "unknown") -> dict[str, object]:
    return {"finish": finish(key), "substrate": substrate(of)}


def hours(count: float) -> dict[str, object]:
    return {"at": NOON + timedelta(hours=count), "dries_at": DRIES}


CLEAN = Layer("wash", kind="clean")
WAX = Layer("wax", "through-dry")
DEWAX = Layer("spirit", kind="dewax")
SAND = Layer("none", "none", kind="sand")
SEAL = Layer("shellac", "through-dry", kind="seal")
ACRYLIC = Layer("acrylic", "through-dry")
OIL = Layer("oil", "touch-dry")
WATER_WET = Layer("acrylic", "none")

CASES: dict[str, tuple[On, On]] = {
    "water-over-oil": (on(OIL, ACRYLIC), on(ACRYLIC, OIL)),
    "paint-over-varnish": (
        on(Layer("acrylic-varnish", "cured"), ACRYLIC),
        on(Layer("acrylic-varnish", "cured"), Layer("acrylic-varnish")),
    ),
    "over-wax": (on(WAX, Layer("resin-varnish")), on(WAX, WAX)),
    "oil-over-dry-water": (on(ACRYLIC, OIL), on(Layer("acrylic"), OIL)),
    "oil-over-fresh-water": (on(Layer("acrylic"), OIL), on(ACRYLIC, OIL)),
    "oil-over-glossy-acrylic": (
        on(Layer("acrylic", "through-dry", medium="gloss"), Layer("oil", thickness_um=100)),
        on(Layer("acrylic", "through-dry", medium="gloss"), Layer("oil", thickness_um=30)),
    ),
    "isolated": (on(OIL, SEAL, ACRYLIC), on(OIL, ACRYLIC)),
    "finish-on-wet": (on(WATER_WET, Layer("acrylic-varnish")), on(WATER_WET, ACRYLIC)),
    "paint-on-wet-finish": (on(Layer("gesso", "none"), ACRYLIC), on(Layer("gesso"), ACRYLIC)),
    "too-early": (on(OIL, OIL, **hours(2)), on(OIL, OIL, **hours(30))),
    "oil-window": (on(ALKYD_WET, OIL, **hours(8)), on(ALKYD_WET, OIL, **hours(6))),
    "water-window": (on(WATER_WET, ACRYLIC, **hours(3)), on(WATER_WET, ACRYLIC, **hours(2))),
    "wet-in-wet": (on(Layer("oil", "none"), OIL), on(OIL, OIL)),
    "varnish-too-soon-on-oil": (
        on(OIL, Layer("resin-varnish")),
        on(Layer("oil", "through-dry"), Layer("resin-varnish")),
    ),
    "varnish-too-soon": (
        on(Layer("acrylic"), Layer("acrylic-varnish")),
        on(ACRYLIC, Layer("acrylic-varnish")),
    ),
    "quick-over-slow": (
        on(Layer("oil", "touch-dry", pigments=("PR83",)), Layer("oil", pigments=("PBr7",))),
        on(Layer("oil", "touch-dry", pigments=("PB29",)), Layer("oil", pigments=("PR83",))),
    ),
    "lean-over-fat": (
        on(Layer("oil", "through-dry", medium="linseed"), OIL),
        on(Layer("oil", "through-dry"), Layer("oil", medium="linseed")),
    ),
    "thin-over-thick": (on(Layer("oil", "cured", thickness_um=400), OIL), on(OIL, OIL)),
    "safflower-under-linseed": (
        on(Layer("oil", "touch-dry", medium="safflower"), OIL),
        on(OIL, Layer("oil", medium="safflower")),
    ),
    "zinc-under-oil": (on(Layer("oil", pigments=("PW4",)), OIL), on(Layer("oil"), OIL)),
    "zinc-in-oil": (
        on(GESSO, Layer("oil", pigments=("PW4", "PB29"))),
        on(GESSO, Layer("acrylic", pigments=("PW4",))),
    ),
    "thin-ground": (on(Layer("gesso", "through-dry"), OIL), on(GESSO, OIL)),
    "graphite-on-dark": (
        on(Layer("acrylic", colour=DARK), Layer("pencil", medium="graphite")),
        on(Layer("acrylic", colour=LIGHT), Layer("pencil", medium="graphite")),
    ),
    "white-on-light": (
        on(Layer("acrylic", colour=LIGHT), Layer("pencil", medium="white-pencil")),
        on(Layer("acrylic", colour=DARK), Layer("pencil", medium="white-pencil")),
    ),
    "draw-white": (
        on(Layer("acrylic", pigments=("PBk11",)), Layer("pencil")),
        on(Layer("acrylic", colour=LIGHT), Layer("pencil")),
    ),
    "drawing-under-oil": (
        on(GESSO, Layer("pencil", "none"), OIL),
        on(GESSO, Layer("pencil", "none"), ACRYLIC, OIL),
    ),
    "water-on-wax": (
        on(CLEAN, SAND, Layer("gesso"), **piece("waxed")),
        on(DEWAX, SEAL, Layer("gesso"), **piece("waxed")),
    ),
    "paint-on-wax": (on(CLEAN, SEAL, **piece("waxed")), on(DEWAX, SEAL, **piece("waxed"))),
    "sand-on-wax": (on(SAND, **piece("waxed")), on(DEWAX, SAND, **piece("waxed"))),
    "sand-on-grease": (on(SAND, **piece("greasy")), on(CLEAN, SAND, **piece("greasy"))),
    "poison-in-use": (
        on(GESSO, Layer("oil", pigments=("PW1", "PB29")), use="everyday"),
        on(GESSO, Layer("oil", pigments=("PW1", "PB29")), use="display"),
    ),
    "cadmium-in-use": (
        on(GESSO, Layer("acrylic", pigments=("PR108",)), use="child"),
        on(GESSO, Layer("acrylic", pigments=("PR108",)), use="everyday"),
    ),
    "water-on-oiled": (
        on(CLEAN, SAND, ACRYLIC, **piece("oiled")),
        on(CLEAN, SAND, SEAL, ACRYLIC, **piece("oiled")),
    ),
    "paint-on-grease": (on(SEAL, **piece("greasy")), on(CLEAN, ACRYLIC, **piece("greasy"))),
    "water-on-shellac": (
        on(CLEAN, SAND, ACRYLIC, **piece("shellacked")),
        on(CLEAN, SAND, OIL, **piece("shellacked")),
    ),
    "unknown-finish": (on(ACRYLIC, **piece("unknown")), on(ACRYLIC, **piece("painted"))),
    "unwashed": (on(SAND, ACRYLIC, **piece("painted")), on(CLEAN, ACRYLIC, **piece("painted"))),
    "no-key": (on(CLEAN, ACRYLIC, **piece("varnished")), on(SAND, ACRYLIC, **piece("varnished"))),
    "stains": (
        on(Layer("gesso"), **piece("bare", "tannin-rich")),
        on(Layer("gesso"), **piece("bare", "hardwood")),
    ),
    "raised-grain": (
        on(SAND, Layer("gesso"), **piece("bare", "hardwood")),
        on(CLEAN, SAND, Layer("gesso"), **piece("bare", "hardwood")),
    ),
    "gesso-is-no-sealer": (
        on(Layer("gesso"), **piece("bare", "hardwood")),
        on(Layer("gesso"), **piece("painted", "hardwood")),
    ),
    "bare-metal": (
        on(Layer("gesso"), **piece("bare", "metal")),
        on(SEAL, **piece("bare", "metal")),
    ),
    "too-cold": (on(ACRYLIC, climate=Climate(8, 50)), on(ACRYLIC, climate=Climate(12, 50))),
    "damp-shellac": (on(SEAL, climate=Climate(20, 75)), on(SEAL, climate=Climate(20, 65))),
}


@pytest.mark.parametrize("key", sorted(CASES))
def test_a_rule_speaks_where_it_should_and_is_silent_where_it_should(key: str) -> None:
    speaks, silent = CASES[key]
    assert key in speaks.speaking()
    assert key not in silent.speaking()


def test_every_rule_of_the_table_has_its_two_cases() -> None:
    assert set(CASES) == {each.key for each in rules()}


def test_every_rule_says_why_what_mends_it_and_where_it_comes_from() -> None:
    for each in rules():
        assert each.verdict in LEVELS
        assert each.source
        assert each.why.endswith(".")
        assert each.mend.endswith((".", "{preparation}"))
        assert "{isolating}" not in each.mend or each.isolating


@pytest.mark.parametrize("wrong", [CLEAN, SAND, Layer("wash", kind="dewax"), Layer("spirit")])
def test_nothing_but_spirit_takes_off_the_wax_and_a_sealer_over_it_is_no_mend(wrong: Layer) -> None:
    for upper in (SEAL, OIL, Layer("gesso", kind="seal")):
        spoken = on(wrong, upper, **piece("waxed")).speaking()
        assert spoken & {"paint-on-wax", "water-on-wax"}
    assert "paint-on-wax" not in on(DEWAX, SEAL, **piece("waxed")).speaking()


def test_wax_is_the_last_coat_and_goes_on_paint_that_is_dry_all_through() -> None:
    for binder in ("acrylic", "oil", "shellac", "resin-varnish", "gesso"):
        (found,) = [one for one in verdicts(Case(Layer(binder), (WAX,))) if one.rule == "over-wax"]
        assert found.level == "refused"
    assert on(Layer("acrylic", "through-dry"), WAX).speaking() == set()
    assert "varnish-too-soon-on-oil" in on(OIL, WAX).speaking()


@pytest.mark.parametrize("use", ["child", "food"])
@pytest.mark.parametrize(
    ("ci", "key"),
    [("PW1", "poison-in-use"), ("PR106", "poison-in-use"), ("PY35", "cadmium-in-use")],
)
def test_what_poisons_is_refused_where_a_child_or_food_comes_near(
    use: str, ci: str, key: str
) -> None:
    # EN 71-3 category III limits lead, mercury and cadmium in the coatings of toys.
    upper = Layer("oil", pigments=(ci, "PW6"))
    (found,) = [one for one in verdicts(Case(upper, (GESSO,), use=use)) if one.rule == key]
    assert found.level == "refused"
    assert "holds " in found.why
    assert "another pigment" in found.mend


def test_an_unnamed_pencil_on_a_dark_ground_is_to_be_white_and_on_a_light_one_nothing_is_said() -> (
    None
):
    (found,) = verdicts(Case(Layer("pencil", "none"), (Layer("acrylic", colour=DARK),)))
    assert (found.level, found.rule) == ("caution", "draw-white")
    assert not verdicts(Case(Layer("pencil", "none"), (Layer("acrylic", colour=LIGHT),)))


def test_a_pale_coat_over_oak_is_cautioned_and_a_dark_one_is_not() -> None:
    bare = piece("bare", "tannin-rich")
    assert "stains" in on(Layer("acrylic", colour=LIGHT), **bare).speaking()
    assert "stains" not in on(Layer("acrylic", colour=DARK), **bare).speaking()


@pytest.mark.parametrize(
    ("row", "complaint"),
    [
        ('why = "{beneath} is wet."', "why: unknown placeholder beneath"),
        ('why = "Wet."\nupper_family = ["tar"]', "upper_family: 'tar' is none of"),
        ('why = "Wet."\nbefore = "bone-dry"', "before: 'bone-dry' is none of"),
        ('why = "Wet."\nmissing = "prayer"', "missing: 'prayer' is none of"),
        ('why = "Wet."\nwindow = 2', "window: 2 is not between 0 and 1"),
    ],
)
def test_a_rule_that_is_not_understood_is_refused_by_file_and_row(
    tmp_path: Path, row: str, complaint: str
) -> None:
    file = tmp_path / "rules.toml"
    file.write_text(
        '[[rule]]\nkey = "a"\ntopic = "coat"\nverdict = "refused"\nmend = "Wait."\n'
        f'source = "common practice, no source"\n{row}\n',
        encoding="utf-8",
    )
    with pytest.raises(ValueError, match=rf"rules\.toml, row 1 \(a\): {complaint}"):
        rules(file)


def test_a_rule_is_found_by_its_key() -> None:
    assert rule("water-over-oil").verdict == "refused"
    with pytest.raises(ValueError, match="There is no rule 'no-blue'"):
        rule("no-blue")
