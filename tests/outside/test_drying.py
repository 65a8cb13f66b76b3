"""Drying factors and waits, against published kinetics, makers' pages and normal tables."""

import math
import sys
from datetime import timedelta

import pytest

from jobs.paint.binders import binder, binders
from jobs.paint.drying import OIL_ENERGY, Climate, Drying, arrhenius, damp_air, drying
from jobs.paint.pigments import pigments

ROOM = Climate(20, 50)
DAY = timedelta(days=1)


@pytest.mark.parametrize(
    ("energy", "cold", "warm", "faster"),
    [
        # Ulkowski, Musialik & Litwinienko, J. Agric. Food Chem. 53 (2005) 9073: 66 kJ/mol for
        # linolenic acid; Litwinienko & Kasprzycka-Guttman (2000): 76 for ethyl linoleate.
        # The ratios follow by hand from exp(E/R (1/T1 - 1/T2)): the formula is checked with each
        # source's own energy. What the shipped energy makes of them is checked below.
        (66, 20, 30, 2.443),
        (66, 10, 20, 2.602),
        (76, 20, 30, 2.797),
        (66, 12, 20, 2.138),
        # Old Holland, "How do oil colours dry": 24 h at 20-22 °C, 1 h at 80-90 °C.
        (43.5, 21, 85, 24.0),
        # Two-pack coatings guide (nbchao.com): half the time for 10 °C more.
        (47.8, 10, 20, 2.0),
        (51.2, 20, 30, 2.0),
    ],
)
def test_warmth_speeds_drying_as_published(
    energy: float, cold: float, warm: float, faster: float
) -> None:
    ratio = arrhenius(cold, energy=energy) / arrhenius(warm, energy=energy)
    assert ratio == pytest.approx(faster, rel=0.01)


# Times at two temperatures as published: how many times sooner it dries when warm, from the least
# to the most that the source leaves open, and the rooms it speaks of. None is of artists' oil
# without drier in an ordinary room: there is no such table. Ours meets one if it is within a tenth.
WARMER = {
    # Old Holland, "How do oil colours dry": 24 h at 20-22 °C, 1 h at 80-90 °C, with drier.
    "old-holland": ((20, 22), (80, 90), 24, 24),
    # Gamblin, Oil Ground page: the second coat in 3-5 days warm, 5-7 cool and damp; cool is below
    # 18 °C. That cool is 15 °C and warm 22 °C is taken here.
    "oil-ground": ((15, 15), (22, 22), 5 / 5, 7 / 3),
    # Two-pack coatings guide (nbchao.com): at 10 °C twice, at 30 °C half the time at 20 °C.
    "two-pack": ((10, 10), (30, 30), 4, 4),
    # Not a drying time but its cause. Ulkowski et al. (2005): linolenic acid, 66 +/- 4 kJ/mol;
    # Litwinienko & Kasprzycka-Guttman (2000): ethyl linoleate, 76. Oxidised hot, without pigment.
    "linolenic": ((20, 20), (30, 30), 2.31, 2.58),
    "linoleate": ((20, 20), (30, 30), 2.797, 2.797),
}
NOT_MET = {
    "old-holland": "x28 to x52, at 21 and 85 °C x38.6, where its maker says x24 (43.5 kJ/mol)",
    "linolenic": "x1.97, since warmth was measured hot and on clear acid (66 kJ/mol)",
    "linoleate": "x1.97, since warmth was measured hot and on clear ester (76 kJ/mol)",
}
"""What the shipped 50 kJ/mol says where it does not agree."""


def sooner(cold: float, warm: float) -> float:
    return arrhenius(cold) / arrhenius(warm)


@pytest.mark.parametrize("key", sorted(WARMER))
def test_the_default_energy_against_published_times_at_two_temperatures(
    key: str, capsys: pytest.CaptureFixture[str]
) -> None:
    (cold, cool), (warm, hot), least, most = WARMER[key]
    ours = sooner(cool, warm), sooner(cold, hot)
    meets = ours[0] <= most * 1.1 and least <= ours[1] * 1.1
    if not meets:
        with capsys.disabled():
            sys.stderr.write(f"\nwarmth, {key}: ours is {NOT_MET.get(key)}\n")
    assert meets is (key not in NOT_MET)


def test_the_default_energy_is_a_choice_between_published_ones_that_disagree() -> None:
    # 43.5 implied by Old Holland's page, 66 by Ulkowski et al. (2005): x24 for one is x38.6 for
    # ours, and in a studio, from 20 to 30 °C, x1.80 and x2.44 stand on either side of our x1.97.
    assert 43.5 < OIL_ENERGY < 66
    assert arrhenius(20) == 1.0
    assert sooner(21, 85) == pytest.approx(38.6, rel=0.01)
    low, high = (arrhenius(20, energy=each) / arrhenius(30, energy=each) for each in (43.5, 66))
    assert low < sooner(20, 30) < high
    assert sooner(20, 30) == pytest.approx(1.97, abs=0.01)


def test_water_evaporates_with_its_latent_heat() -> None:
    # Saturated vapour pressure of water, CRC Handbook (from memory): 2.339 kPa at 20 °C,
    # 4.246 kPa at 30 °C, 1.228 kPa at 10 °C.
    energy = binder("acrylic").energy
    assert 1 / arrhenius(30, energy=energy) == pytest.approx(4.246 / 2.339, rel=0.03)
    assert arrhenius(10, energy=energy) == pytest.approx(2.339 / 1.228, rel=0.03)


@pytest.mark.parametrize("ci", sorted(pigments()))
def test_every_tube_colour_is_touch_dry_within_the_published_range(ci: str) -> None:
    # Winsor & Newton, "Understanding drying times for oil colour": thin film, 2 to 12 days.
    assert 2 * DAY <= drying("oil", "touch-dry", ROOM, pigments=[ci]).likely <= 12 * DAY


@pytest.mark.parametrize(
    ("ci", "least", "most"), [("PB27", 2, 2), ("PG7", 5, 5), ("PR83", 5.01, 12)]
)
def test_drying_classes_are_the_published_ones(ci: str, least: float, most: float) -> None:
    # Same page: Prussian blue about 2 days, phthalos about 5, alizarin crimson over 5.
    days = drying("oil", "touch-dry", ROOM, pigments=[ci]).likely / DAY
    assert least <= days <= most


def test_alkyd_medium_is_touch_dry_in_a_day_or_so() -> None:
    # Gamblin, Galkyd Lite page: a thin layer in 24-30 h.
    hours = drying("oil-alkyd", "touch-dry", ROOM).likely / timedelta(hours=1)
    assert 24 <= hours <= 30


def test_oil_may_be_varnished_with_synthetic_resin_after_two_to_three_weeks() -> None:
    # Gamblin, varnishing help: 2-3 weeks when thin; Opus sheet: damar after 6 months at least.
    assert 14 * DAY <= drying("oil", "through-dry", ROOM).likely <= 21 * DAY
    assert drying("oil", "cured", ROOM).likely >= 182 * DAY


@pytest.mark.parametrize(("temperature", "humidity"), [(18, 69), (20, 50), (25, 60)])
def test_gesso_is_touch_dry_within_two_hours_above_18_degrees(
    temperature: float, humidity: float
) -> None:
    # Product sheet quoted on a painters' forum: 254 microns wet, above 18 °C, below 70 % humidity.
    sheet = drying("gesso", "touch-dry", Climate(temperature, humidity), thickness_um=254)
    assert timedelta(minutes=30) <= sheet.likely <= timedelta(hours=2)
    assert not sheet.beyond_data


@pytest.mark.parametrize("temperature", [10, 20, 30])
def test_oil_never_goes_on_acrylic_gesso_before_72_hours(temperature: float) -> None:
    # MITRA forum QID 351 (2017): 72 hours at least, 2 weeks usual.
    wait = drying("gesso", "through-dry", Climate(temperature, 50))
    assert wait.at(0.01) >= timedelta(hours=72)
    assert drying("gesso", "through-dry", ROOM).surely <= 14 * DAY


def test_acrylic_is_touch_dry_within_a_day_and_through_dry_in_days() -> None:
    # Golden, "Technical notes on drying" (justpaint.org): seconds to a day; then a few days.
    assert drying("acrylic", "touch-dry", ROOM).surely <= DAY
    assert 2 * DAY <= drying("acrylic", "through-dry", ROOM).likely <= 7 * DAY


def test_shellac_dries_within_the_range_painters_report() -> None:
    # Fine Woodworking forum; engineerfix.com: touch 15-45 min, recoat 30-60 min.
    assert 15 <= drying("shellac", "touch-dry", ROOM).likely / timedelta(minutes=1) <= 45
    assert 30 <= drying("shellac", "recoat", ROOM).likely / timedelta(minutes=1) <= 60


def test_damp_air_slows_and_dry_air_hardly_helps() -> None:
    # A paint maker's winter tips: high humidity delays. Old Holland: 65-75 % is favourable.
    for family in ("water", "oil", "shellac", "resin"):
        assert damp_air(50, family=family) == pytest.approx(1)
        assert damp_air(85, family=family) > 1
        assert damp_air(0, family=family) >= 0.8
    assert damp_air(70, family="oil") == 1


@pytest.mark.parametrize(
    # Standard normal table: P(Z <= z), NIST/SEMATECH e-Handbook 1.3.6.7.1.
    ("likelihood", "z"),
    [(0.5, 0.0), (0.8, 0.8416), (0.9, 1.2816), (0.95, 1.6449)],
)
def test_quantiles_of_a_wait_follow_the_normal_table(likelihood: float, z: float) -> None:
    wait = Drying(median=timedelta(hours=100), sigma=0.45)
    expected = 100 * math.exp(0.45 * z)
    assert wait.at(likelihood) / timedelta(hours=1) == pytest.approx(expected, rel=1e-4)


def test_a_coat_found_wet_at_the_median_has_only_the_slower_half_left() -> None:
    # Same table: half of the cases are over at z = 0, so the middle of the rest is the upper
    # quartile, z(0.75) = 0.6745, and 90 in 100 of it z(0.95) = 1.6449.
    wait = Drying(median=timedelta(hours=100), sigma=0.45)
    for likelihood, z in ((0.5, 0.6745), (0.9, 1.6449)):
        hours = wait.at(likelihood, elapsed=timedelta(hours=100)) / timedelta(hours=1)
        assert hours == pytest.approx(100 * math.exp(0.45 * z), rel=1e-4)


def test_makers_differ_at_least_as_much_as_the_pigment_tests_found() -> None:
    # M. Short, pigment tests in linseed oil: four siennas in 23, 45, 62 and 67 h.
    logs = [math.log(hours) for hours in (23, 45, 62, 67)]
    mean = sum(logs) / 4
    spread = math.sqrt(sum((each - mean) ** 2 for each in logs) / 3)
    assert binder("oil").waits["touch-dry"].sigma >= 0.4
    assert binder("oil").waits["touch-dry"].sigma == pytest.approx(spread, abs=0.1)


@pytest.mark.parametrize(
    # P. Finkelstein, table of decorative glazes (proceedsystem.com, 2010): hours until dry, and
    # until cured, which is when the next glaze may go over it.
    ("key", "worked_in", "dry", "cured"),
    [
        ("acrylic-glaze", "", (1, 2), (3, 5)),
        ("acrylic-glaze", "retarder", (5, 12), (12, 48)),
        ("quick-glaze", "", (2, 6), (12, 48)),
    ],
)
def test_decorative_glazes_dry_as_the_published_table_says(
    key: str, worked_in: str, dry: tuple[int, int], cured: tuple[int, int]
) -> None:
    for gate, (least, most) in (("touch-dry", dry), ("recoat", cured)):
        wait = drying(key, gate, ROOM, medium=worked_in)
        assert least <= wait.likely / timedelta(hours=1) <= most
        # The table's range is where about eight cases of ten lie.
        assert wait.at(0.1) / timedelta(hours=1) == pytest.approx(least, rel=0.3)


@pytest.mark.parametrize(
    # Gamblin, Oil Ground page: the first coat touch-dry in 2-4 days; the second in 3-5 days when
    # warm, 5-7 when cool and damp, where cool is below 18 °C.
    ("gate", "climate", "least", "most"),
    [
        ("touch-dry", ROOM, 2, 4),
        ("through-dry", Climate(22, 50), 3, 5),
        ("through-dry", Climate(15, 70), 5, 7),
    ],
)
def test_oil_ground_dries_as_its_maker_says_warm_and_cool(
    gate: str, climate: Climate, least: float, most: float
) -> None:
    assert least * DAY <= drying("oil-ground", gate, climate).likely <= most * DAY


def test_oil_twice_as_thick_waits_a_month_or_two_as_published() -> None:
    # Gamblin, varnishing help: firm at the thickest spot in 2-3 weeks thin, 1-2 months thick.
    # The page gives no microns: that thick is twice thin is taken here.
    film = binder("oil").film_um
    assert 14 * DAY <= drying("oil", "through-dry", ROOM, thickness_um=film).likely <= 21 * DAY
    assert 30 * DAY <= drying("oil", "through-dry", ROOM, thickness_um=2 * film).likely <= 60 * DAY


@pytest.mark.parametrize(
    # Days thin and days thick, and what is taken here for thick against the usual film, since no
    # page says: there is no published table of wait by thickness for artists' paint.
    ("key", "thin", "thick", "times"),
    [
        # Gamblin, varnishing help: firm at the thickest spot in 2-3 weeks thin, 1-2 months thick.
        ("oil", (14, 21), (30, 60), 2),
        # Golden, "Technical notes on drying": a few days thin; weeks to months thick (the upper
        # figure from memory), read as 2-7 and 14-90 days.
        ("acrylic", (2, 7), (14, 90), 5),
    ],
)
def test_a_thick_film_waits_as_many_times_longer_as_published(
    key: str, thin: tuple[int, int], thick: tuple[int, int], times: float
) -> None:
    film = binder(key).film_um
    usual, more = (
        drying(key, "through-dry", ROOM, thickness_um=film * by).likely / DAY for by in (1, times)
    )
    assert thin[0] <= usual <= thin[1]
    assert thick[0] <= more <= thick[1]
    assert thick[0] / thin[1] <= more / usual <= thick[1] / thin[0]
    # The exponent that the middles of both ranges ask for lies within 1 and 2, as ours does.
    middles = math.sqrt(thick[0] * thick[1] / (thin[0] * thin[1]))
    assert 1 <= math.log(middles) / math.log(times) <= 2
    assert 1 <= math.log(more / usual) / math.log(times) <= 2


# Nothing is published of how thick wax dries, and the tables say nothing of it.
FILMS = [key for key, each in binders().items() if each.leaves_film and each.family != "wax"]


@pytest.mark.parametrize("key", FILMS)
def test_twice_as_thick_takes_between_twice_and_four_times_as_long(key: str) -> None:
    # Reaction or steady evaporation: t ~ x; diffusion: t ~ x² (Crank, The Mathematics of
    # Diffusion, from memory); 1.5 between them is 2.828.
    film = binder(key).film_um
    for gate in ("touch-dry", "through-dry"):
        thin, thick = (
            drying(key, gate, Climate(10, 50), thickness_um=um).median for um in (film, 2 * film)
        )
        assert 1.999 <= thick / thin <= 4.001
        if binder(key).family == "oil":
            assert thick / thin == pytest.approx(2.828, rel=1e-3)


def test_thick_acrylic_takes_a_day_at_most_to_the_touch_and_weeks_in_the_depth() -> None:
    # Golden, "Technical notes on drying": skinned over within a day or so; weeks to months thick.
    assert drying("acrylic", "touch-dry", ROOM, thickness_um=250).surely <= DAY
    assert 14 * DAY <= drying("acrylic", "through-dry", ROOM, thickness_um=500).likely <= 90 * DAY


def test_oils_rank_as_published() -> None:
    # Natural Pigments, "Drying oils compared": linseed first, walnut and poppy much later.
    oils = ("linseed", "walnut", "safflower", "poppy")
    days = {key: drying("oil", "touch-dry", ROOM, medium=key).likely for key in oils}
    assert days["linseed"] < days["walnut"] < days["safflower"] <= days["poppy"]
    # Golden, "Subtle differences of Williamsburg whites" (justpaint.org): titanium white 1-2
    # days in linseed, 2-7 in safflower: the quotient of the ranges' middles, 2.65 (logarithms)
    # or 3 (plain), within the quotients 2 of their quick ends and 3.5 of their slow ones.
    assert 2 <= days["safflower"] / days["linseed"] <= 3.5


def test_alkyd_tube_colour_is_touch_dry_within_a_day() -> None:
    # Review of alkyd tube colours (gadsbys.co.uk): 18-24 h.
    assert 18 <= drying("alkyd", "touch-dry", ROOM).likely / timedelta(hours=1) <= 24


@pytest.mark.parametrize("ci", ["PR83", "PB29", "PB27"])
def test_alkyd_medium_brings_thin_tube_colour_to_a_day_or_so(ci: str) -> None:
    # Gamblin, Galkyd Lite page: a thin layer in 24-30 h.
    hours = drying("oil", "touch-dry", ROOM, pigments=[ci], medium="alkyd").likely
    assert 24 <= hours / timedelta(hours=1) <= 30


def test_moved_air_speeds_water_as_the_wind_function_says() -> None:
    # Penman, Proc. R. Soc. A 193 (1948) 120-145, from memory: evaporation ~ 1 + 0.54 u, u in
    # m/s. Still, ordinary and moved air of a room are taken as 0.1, 0.5 and 1 m/s.
    still, moved = (
        drying("acrylic", "touch-dry", ROOM, airing=air).likely
        / drying("acrylic", "touch-dry", ROOM).likely
        for air in ("still", "moved")
    )
    ordinary = 1 + 0.54 * 0.5
    assert still == pytest.approx(ordinary / (1 + 0.54 * 0.1), rel=0.05)
    assert moved == pytest.approx(ordinary / (1 + 0.54 * 1), rel=0.05)
