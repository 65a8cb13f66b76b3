"""What a coat's drying hangs on in her own workshop, and what her touch tests taught of it."""

from dataclasses import replace
from datetime import UTC, datetime, timedelta
from decimal import Decimal

import pytest
from django.urls import reverse

from jobs.domain.gates import current_gate
from jobs.domain.layering import method_findings
from jobs.domain.methods import keep_step
from jobs.domain.supplies import starting_price
from jobs.domain.work import correct_touch_test, record_touch_test
from jobs.domain.workshop import coat_tests, workshop_of
from jobs.models import Mix, MixPart, Panel, Piece, SheetStage, Supply, TouchTest
from jobs.paint.binders import binder, binders
from jobs.paint.drying_tables import AIRINGS
from jobs.paint.substrates import finishes, substrates
from jobs.paint.worked_in import why_unfit, worked_with
from studio.domain.records import keep_record
from studio.models import Studio
from studio.refusal import Refused
from studio.signals import hold_changes, work_changed
from tests.cast import asked, painted, panel_of, piece_of, surface_of

NOON = datetime(2026, 11, 2, 12, tzinfo=UTC)
DAY = timedelta(days=1)


@pytest.fixture
def surface(anna):
    with hold_changes():
        return surface_of(piece_of(asked(anna.studio, agreed=True)))


def oil_panel(surface, *, by, end=NOON, binder="oil", gate="touch-dry", **more) -> Panel:
    """Return a panel with one coat finished at `end`."""
    with hold_changes():
        panel = panel_of(surface, steps=(("first-oil", binder, 1, gate),), **more)
        painted(panel.stages.get(), by=by, end=end)
    return panel


def gate_of(panel: Panel):
    return current_gate(Panel.objects.for_bench().get(pk=panel.pk))


def mix_of(panel: Panel, **parts: int) -> None:
    with hold_changes():
        mix = keep_record(Mix(studio=panel.owner, name="A mix", colour="#c9a24b"))
        for ci, count in parts.items():
            MixPart.objects.create(mix=mix, pigment=ci, parts=count)
        panel.stages.update(mix=mix)


def found_dry(panel: Panel, *, after: timedelta, by, end=NOON) -> None:
    """Hold a finger to it twice: tacky a twentieth before it is dry."""
    stage = panel.stages.get()
    with hold_changes():
        for result, share in (("tacky", 0.95), ("touch-dry", 1)):
            record_touch_test(stage, coat=1, result=result, by=by, at=end + after * share)


def test_a_touch_of_a_slow_colour_is_not_waited_for_and_a_tenth_is(surface, anna):
    panel = oil_panel(surface, by=anna)
    usual = gate_of(panel).opens
    mix_of(panel, PB29=50, PBk9=1, PR83=1)
    assert gate_of(panel).opens == usual
    mix_of(panel, PB29=9, PR83=1)
    assert gate_of(panel).opens > usual


def test_paint_spread_half_as_far_lies_thicker_and_dries_longer(surface, anna):
    panel = oil_panel(surface, by=anna)
    usual = gate_of(panel).likely - NOON
    rate = binder("oil").rate
    Supply.objects.filter(studio=anna.studio, binder="oil").update(spread_rate=rate / 2)
    # Twice the film at an exponent of 1.5.
    assert (gate_of(panel).likely - NOON) / usual == pytest.approx(2**1.5, rel=1e-3)


def test_a_film_typed_for_the_stage_counts_before_the_rate(surface, anna):
    panel = oil_panel(surface, by=anna)
    usual = gate_of(panel).likely - NOON
    panel.stages.update(film_um=round(2 * binder("oil").film_um))
    assert (gate_of(panel).likely - NOON) / usual == pytest.approx(2**1.5, rel=0.02)


def test_a_spread_rate_changed_makes_the_programme_anew(anna):
    heard = []

    def hear(sender, studio, **rest) -> None:
        heard.append(studio)

    work_changed.connect(hear)
    try:
        keep_record(anna.studio.supplies.first())
    finally:
        work_changed.disconnect(hear)
    assert heard == [anna.studio]


@pytest.mark.parametrize(
    ("paint", "medium", "sooner"),
    [("oil", "alkyd", True), ("oil", "poppy", False), ("acrylic", "retarder", False)],
)
def test_a_medium_changes_the_wait_of_the_paint_it_is_worked_into(
    paint, medium, sooner, surface, anna
):
    panel = oil_panel(surface, by=anna, binder=paint)
    usual = gate_of(panel).opens
    panel.stages.update(medium=medium)
    now = gate_of(panel).opens
    assert now < usual if sooner else now > usual


def test_still_air_opens_a_gate_later_and_moved_air_sooner(surface, anna):
    panel = oil_panel(surface, by=anna, binder="acrylic")
    opens = []
    for airing in ("moved", "normal", "still"):
        Studio.objects.filter(pk=anna.studio.pk).update(room_airing=airing)
        opens.append(gate_of(panel).opens)
    assert opens == sorted(set(opens))


def test_a_room_beyond_what_the_sources_cover_is_told(surface, anna):
    panel = oil_panel(surface, by=anna)
    assert gate_of(panel).beyond == ""
    Studio.objects.filter(pk=anna.studio.pk).update(room_temperature=3)
    assert "not 3 °C" in gate_of(panel).beyond


def test_coats_that_dried_late_make_the_next_one_counted_on_later(surface, anna):
    new = oil_panel(surface, by=anna, left=2000)
    before = gate_of(new)
    foretold = workshop_of(anna.studio).foretold(new.stages.get())
    for place in (2, 3):
        end = NOON - 40 * DAY * place
        old = oil_panel(surface, by=anna, end=end, left=2000 * place)
        found_dry(old, after=foretold * 1.8, by=anna, end=end)
    taught = gate_of(new)
    assert taught.likely > before.likely
    assert taught.opens > before.opens
    # What a test is held against stays the published time.
    assert workshop_of(anna.studio).foretold(new.stages.get()) == foretold


def test_what_one_paint_taught_says_nothing_of_another(surface, anna):
    new = oil_panel(surface, by=anna, binder="acrylic")
    before = gate_of(new).opens
    old = oil_panel(surface, by=anna, end=NOON - 90 * DAY, left=2000)
    found_dry(old, after=12 * DAY, by=anna, end=NOON - 90 * DAY)
    assert gate_of(new).opens == before


def test_a_coat_is_not_held_twice_by_its_own_test(surface, anna):
    panel = oil_panel(surface, by=anna)
    stage = panel.stages.get()
    record_touch_test(stage, coat=1, result="tacky", by=anna, at=NOON + 9 * DAY)
    shop = workshop_of(anna.studio)
    wait = shop.wait(stage, "touch-dry", coat=1)
    assert wait.median == shop.foretold(stage) < shop.wait(stage, "touch-dry").median
    assert gate_of(panel).likely == NOON + wait.at(0.5, elapsed=9 * DAY)


def test_a_coats_tests_are_one_observation_between_wet_and_dry(surface, anna):
    panel = oil_panel(surface, by=anna)
    foretold = workshop_of(anna.studio).foretold(panel.stages.get())
    found_dry(panel, after=foretold * 2, by=anna)
    (tests,) = coat_tests(anna.studio)
    (seen,) = tests.reading.observations
    assert tests.key == ("oil", "medium")
    assert (seen.low, seen.high) == (pytest.approx(1.9), pytest.approx(2))


def test_what_a_test_taught_does_not_change_with_the_season(surface, anna):
    panel = oil_panel(surface, by=anna)
    shop = workshop_of(anna.studio)
    found_dry(panel, after=shop.foretold(panel.stages.get()) * 2, by=anna)
    seen = coat_tests(anna.studio)[0].reading
    Studio.objects.filter(pk=anna.studio.pk).update(room_temperature=10, room_airing="still")
    test = TouchTest.objects.get(result="touch-dry")
    test.note = "firm"
    correct_touch_test(test)
    assert coat_tests(Studio.objects.get(pk=anna.studio.pk))[0].reading == seen


@pytest.mark.parametrize(
    ("paint", "medium", "fits"),
    [
        ("oil", "", True),
        ("oil", "linseed", True),
        ("acrylic", "linseed", False),
        ("acrylic", "gloss", True),
        ("oil", "gloss", False),
        ("pencil", "graphite", True),
        ("oil", "graphite", False),
        ("oil", "soup", False),
    ],
)
def test_a_stage_is_worked_only_with_what_goes_into_its_paint(paint, medium, fits, anna):
    assert (why_unfit(medium, binder(paint)) == "") is fits
    step = SheetStage(
        sheet=anna.studio.sheets.first(), kind="draw", binder=paint, medium=medium, name="One"
    )
    if fits:
        assert keep_step(step).medium == medium
    else:
        with pytest.raises(Refused) as refused:
            keep_step(step)
        assert refused.value.field == "medium"


def test_a_medium_that_does_not_go_into_the_paint_is_refused_beside_its_field(at_desk, surface):
    panel = panel_of(surface)
    stage = panel.stages.last()
    data = {
        "kind": stage.kind, "name": stage.name, "binder": "oil", "medium": "retarder",
        "coats": 1, "gate": "touch-dry", "minutes": "", "mix": "", "seen_version": stage.version,
    }  # fmt: skip
    path = reverse("stage-edit", args=[stage.pk])
    response = at_desk.post(path, data)
    assert response.status_code == 422
    assert list(response.context["form"].errors) == ["medium"]
    assert at_desk.post(path, data | {"medium": "linseed"}).status_code == 302
    stage.refresh_from_db()
    assert stage.medium == "linseed"


def test_every_paint_that_leaves_a_film_has_a_price_to_start_from(anna):
    films = {key for key, each in binders().items() if each.leaves_film}
    prices = dict(anna.studio.supplies.values_list("binder", "pack_price"))
    assert set(prices) == films
    assert prices == {key: int(binder(key).price * 100) for key in films}


def test_the_first_price_of_a_paint_is_its_rows_and_the_usual_one_without(anna):
    assert starting_price(binder("shellac"), "EUR") == 1800
    assert starting_price(replace(binder("shellac"), price=Decimal("7.5")), "EUR") == 750
    assert starting_price(replace(binder("shellac"), price=None), "EUR") == 1200
    assert starting_price(binder("shellac"), "SEK") is None


def rules_on(panel: Panel) -> set[str]:
    stages = list(Panel.objects.for_bench().get(pk=panel.pk).stages.all())
    return {found.rule for _, found in method_findings(stages, studio=panel.owner)}


@pytest.mark.parametrize(
    ("material", "finish", "rule"),
    [
        ("softwood", "waxed", "water-on-wax"),
        ("hardwood", "greasy", "paint-on-grease"),
        ("tannin-rich", "bare", "stains"),
        ("metal", "bare", "bare-metal"),
    ],
)
def test_a_method_is_judged_by_the_piece_it_is_painted_on(material, finish, rule, anna):
    piece = piece_of(asked(anna.studio))
    panel = panel_of(surface_of(piece))
    Piece.objects.filter(pk=piece.pk).update(material="hardwood", finish="bare")
    assert rule not in rules_on(panel)
    Piece.objects.filter(pk=piece.pk).update(material=material, finish=finish)
    assert rule in rules_on(panel)


def test_a_method_is_judged_by_its_colours_and_media(surface, anna):
    steps = (
        ("ground-colour", "acrylic", 1, "through-dry"),
        ("draw", "pencil", 1, "none"),
        ("first-oil", "oil", 1, "touch-dry"),
    )
    panel = panel_of(surface, steps=steps, ground_colour="#202020")
    assert not rules_on(panel) & {"graphite-on-dark", "zinc-in-oil"}
    panel.stages.filter(kind="draw").update(medium="graphite")
    mix = keep_record(Mix(studio=anna.studio, name="White", colour="#ffffff"))
    MixPart.objects.create(mix=mix, pigment="PW4", parts=1)
    panel.stages.filter(kind="first-oil").update(mix=mix)
    assert rules_on(panel) >= {"graphite-on-dark", "zinc-in-oil"}


def test_the_record_and_the_tables_speak_of_the_same_things():
    assert set(Studio.Airing.values) == set(AIRINGS)
    assert Piece().material in substrates()
    assert Piece().finish in finishes()
    assert max(map(len, worked_with())) <= 40
