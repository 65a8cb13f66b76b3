"""What the layering rules say of a method, of a stage as typed, and what was overruled."""

import pytest
from django.urls import reverse

from jobs.domain.layering import (
    Refusal,
    findings_as_typed,
    method_findings,
    overrule,
    standing_refusals,
)
from jobs.domain.methods import keep_step
from jobs.domain.mixes import keep_mix
from jobs.domain.own_values import keep_own_row, put_back
from jobs.models import MethodSheet, Overruling, Panel, SheetStage, Stage, Supply
from studio.domain.records import keep_record, remove_record
from studio.models import Studio
from studio.refusal import Refused
from tests.cast import painted
from tests.jobs.laid import DAY, DRY_GROUND, MONDAY, SOUND, change, mix, said

OIL_ON_OIL = (("first-oil", "oil", 1, "touch-dry"), ("details", "oil", 1, "touch-dry"))


class TestWhatAMethodIsJudgedBy:
    def test_oil_on_a_ground_that_is_waited_for_gets_no_finding(self, panel_with):
        assert said(panel_with(*DRY_GROUND, ("first-oil", "oil", 1, "touch-dry"))) == []

    def test_the_gate_of_the_coat_beneath(self, panel_with):
        panel = panel_with(*DRY_GROUND, ("first-oil", "oil", 1, "touch-dry"))
        change(panel, "ground-colour", gate="recoat")
        assert said(panel) == [("first-oil", "oil-over-fresh-water")]

    def test_the_coats_of_ground(self, panel_with):
        panel = panel_with(
            *SOUND, ("prime", "gesso", 2, "through-dry"), ("details", "oil", 1, "cured")
        )
        assert said(panel) == []
        change(panel, "prime", coats=1)
        assert said(panel) == [("details", "thin-ground")]

    def test_the_pigments_of_the_mix(self, panel_with, anna):
        panel = panel_with(*DRY_GROUND, ("details", "oil", 1, "cured"))
        change(panel, "details", mix=mix(anna.studio, PW4=2, PY42=1))
        assert said(panel) == [("details", "zinc-in-oil")]

    def test_the_medium(self, panel_with):
        oils = (("first-oil", "oil", 1, "touch-dry"), ("details", "oil", 1, "touch-dry"))
        panel = panel_with(*DRY_GROUND, *oils)
        assert said(panel) == []
        change(panel, "first-oil", medium="safflower")
        assert ("details", "safflower-under-linseed") in said(panel)

    def test_the_film_typed_on_the_stage(self, panel_with):
        oils = (("first-oil", "oil", 1, "touch-dry"), ("details", "oil", 1, "touch-dry"))
        panel = panel_with(*DRY_GROUND, *oils)
        change(panel, "first-oil", film_um=300)
        assert ("details", "thin-over-thick") in said(panel)

    def test_the_film_as_the_studio_spreads_it(self, panel_with, anna):
        panel = panel_with(*DRY_GROUND, ("details", "oil", 1, "cured"))
        change(panel, "ground-colour", medium="gloss")
        Supply.objects.filter(binder="oil").update(spread_rate=5)
        assert said(panel) == [("details", "oil-over-glossy-acrylic")]
        Supply.objects.filter(binder="oil").update(spread_rate=40)
        assert said(panel) == []

    def test_the_tenth_by_which_a_pigment_governs_its_mix(self, panel_with, anna):
        panel = panel_with(*DRY_GROUND, *OIL_ON_OIL)
        change(panel, "details", mix=mix(anna.studio, PBr7=1))
        slow = mix(anna.studio, PB27=30, PR83=1)
        change(panel, "first-oil", mix=slow)
        assert ("details", "quick-over-slow") not in said(panel)
        keep_mix(slow, parts={"PB27": 9, "PR83": 1})
        assert ("details", "quick-over-slow") in said(panel)

    def test_the_studios_own_drying_class_and_hours(self, panel_with, anna):
        panel = panel_with(*DRY_GROUND, *OIL_ON_OIL)
        change(panel, "details", mix=mix(anna.studio, PBr7=1))
        change(panel, "first-oil", mix=mix(anna.studio, PR83=1))
        assert ("details", "quick-over-slow") in said(panel)
        slow = {"table": "pigments", "row": "PBr7", "values": {"drying": "slow"}}
        keep_own_row(anna.studio, **slow)
        assert ("details", "quick-over-slow") not in said(panel)
        put_back(anna.studio, table="pigments", row="PBr7")
        change(panel, "details", mix=None, binder="oil-alkyd")
        assert ("details", "quick-over-slow") in said(panel)
        hers = {"touch-dry": "120", "recoat": "120"}
        keep_own_row(anna.studio, table="binders", row="oil-alkyd", values=hers)
        assert ("details", "quick-over-slow") not in said(panel)

    def test_the_colour_of_the_mix_under_a_drawing(self, panel_with, anna):
        panel = panel_with(*DRY_GROUND, ("draw", "pencil", 1, "none"))
        change(panel, "draw", medium="graphite")
        assert said(panel) == []
        change(panel, "ground-colour", mix=mix(anna.studio, "#302820", PBk11=1))
        assert said(panel) == [("draw", "graphite-on-dark")]

    def test_the_colour_of_the_panels_ground_where_no_mix_is_named(self, panel_with):
        panel = panel_with(*DRY_GROUND, ("draw", "pencil", 1, "none"))
        change(panel, "draw", medium="graphite")
        Panel.objects.update(ground_colour="#302820")
        assert said(panel) == [("draw", "graphite-on-dark")]
        Panel.objects.update(ground_colour="#f0ead8")
        change(panel, "draw", medium="white-pencil")
        assert said(panel) == [("draw", "white-on-light")]

    @pytest.mark.parametrize(
        ("piece", "rule"),
        [
            ({"finish": "waxed"}, "water-on-wax"),
            ({"finish": "oiled"}, "water-on-oiled"),
            ({"finish": "unknown"}, "unknown-finish"),
            ({"finish": "bare", "material": "softwood"}, "stains"),
            ({"finish": "bare", "material": "metal"}, "bare-metal"),
        ],
    )
    def test_the_piece_it_is_for(self, piece, rule, panel_with):
        found = said(panel_with(*DRY_GROUND, **piece))
        assert [one for one in found if one[0] == "prime"] == [("prime", rule)]

    def test_wax_driven_in_by_sanding(self, panel_with):
        panel = panel_with(*SOUND, finish="waxed")
        assert said(panel) == [("sand", "sand-on-wax")]
        keep_step(Stage(panel=panel, kind="dewax", binder="spirit", gate="recoat"))
        assert said(panel) == []

    @pytest.mark.parametrize(
        ("use", "pigment", "refused"),
        [
            ("child", "PR108", ["cadmium-in-use"]),
            ("food", "PW1", ["poison-in-use"]),
            ("everyday", "PR106", ["poison-in-use"]),
            ("everyday", "PR108", []),
            ("display", "PW1", []),
        ],
    )
    def test_what_it_will_be_used_for(self, use, pigment, refused, panel_with, anna):
        panel = panel_with(*DRY_GROUND, use=use)
        change(panel, "ground-colour", mix=mix(anna.studio, **{pigment: 1, "PY43": 2}))
        assert [rule for _, rule in said(panel)] == refused
        assert [one.finding.rule for one in standing_refusals(panel.commission)] == refused

    def test_the_air_of_the_studio(self, panel_with, anna):
        panel = panel_with(*SOUND, ("seal", "shellac", 1, "recoat"))
        assert said(panel) == []
        Studio.objects.update(room_humidity=85)
        assert said(panel) == [("seal", "damp-shellac")]
        Studio.objects.update(room_humidity=50, room_temperature=8)
        cold = panel_with(*DRY_GROUND)
        assert ("prime", "too-cold") in said(cold)

    def test_one_cold_room_is_one_notice_that_names_the_stages(self, panel_with, at_desk):
        panel = panel_with(*DRY_GROUND)
        Studio.objects.update(room_temperature=8)
        assert [rule for _, rule in said(panel)] == ["too-cold", "too-cold"]
        page = at_desk.get(reverse("panel", args=[panel.pk]))
        (notice,) = page.context["story"].notices
        assert [line.names for line in notice.lines] == ["Prime", "Ground colour"]
        assert not any(row.alone for row in page.context["story"].rows)
        assert page.content.decode().count("Warm the room to 10 °C or more.") == 1

    def test_a_rule_that_speaks_of_one_stage_stands_beside_it(self, panel_with, at_desk):
        panel = panel_with(*DRY_GROUND, finish="unknown")
        story = at_desk.get(reverse("panel", args=[panel.pk])).context["story"]
        assert story.notices == ()
        (row,) = [row for row in story.rows if row.alone]
        assert (row.stage.kind, row.alone) == ("prime", row.findings)

    def test_a_sheet_is_judged_without_a_piece(self, anna):
        sheet = keep_record(MethodSheet(studio=anna.studio, name="Our way"))
        for kind, binder, gate in (
            ("first-oil", "oil", "cured"),
            ("varnish", "acrylic-varnish", "cured"),
        ):
            keep_step(SheetStage(sheet=sheet, kind=kind, binder=binder, gate=gate))
        found = method_findings(list(sheet.stages.all()), studio=anna.studio)
        assert ("varnish", "water-over-oil") in [(step.kind, one.rule) for step, one in found]


class TestAsTyped:
    def test_what_a_change_brings_upon_another_stage_is_told_and_nothing_saved(self, panel_with):
        panel = panel_with(*DRY_GROUND, ("first-oil", "oil", 1, "touch-dry"))
        ground = panel.stages.get(kind="ground-colour")
        ground.gate = "recoat"
        found = findings_as_typed(ground, studio=panel.owner)
        assert [(step.kind, one.rule) for step, one in found] == [
            ("first-oil", "oil-over-fresh-water")
        ]
        assert said(panel) == []

    def test_what_stood_against_another_stage_before_is_not_told_again(self, panel_with):
        panel = panel_with(*DRY_GROUND, ("first-oil", "oil", 1, "touch-dry"))
        change(panel, "ground-colour", gate="recoat")
        assert len(said(panel)) == 1
        prime = panel.stages.get(kind="prime")
        prime.coats = 3
        assert findings_as_typed(prime, studio=panel.owner) == []
        oil = panel.stages.get(kind="first-oil")
        assert len(findings_as_typed(oil, studio=panel.owner)) == 1

    def test_a_new_stage_is_judged_where_it_would_be_put(self, panel_with):
        panel = panel_with(*DRY_GROUND, ("first-oil", "oil", 1, "cured"))
        new = Stage(panel=panel, kind="varnish", binder="acrylic-varnish", gate="cured")
        found = findings_as_typed(new, studio=panel.owner)
        assert [(step is new, one.rule) for step, one in found] == [(True, "water-over-oil")]
        assert panel.stages.count() == 5

    def test_a_new_stage_in_the_midst_is_judged_by_what_comes_over_it(self, panel_with):
        panel = panel_with(*DRY_GROUND, ("varnish", "acrylic-varnish", 1, "cured"))
        new = Stage(panel=panel, kind="first-oil", binder="oil", gate="touch-dry")
        found = findings_as_typed(new, studio=panel.owner)
        assert ("varnish", "water-over-oil") in [(step.kind, one.rule) for step, one in found]
        assert not [one.rule for step, one in found if step is new]


class TestOverruling:
    @pytest.fixture
    def refused(self, panel_with) -> Panel:
        panel = panel_with(*DRY_GROUND, ("first-oil", "oil", 1, "touch-dry"))
        change(panel, "ground-colour", gate="recoat")
        return panel

    def overruled(self, panel: Panel, by, reason: str = "Tried on a board") -> list[Overruling]:
        found = standing_refusals(panel.commission)
        return overrule(found, reason=reason, by=by, at=MONDAY)

    def test_only_refusals_stand_in_the_way_not_cautions(self, panel_with, refused):
        (one,) = standing_refusals(refused.commission)
        assert (one.stage.kind, one.finding.rule) == ("first-oil", "oil-over-fresh-water")
        assert one.stage.panel == refused
        cautioned = panel_with(*DRY_GROUND, finish="unknown")
        assert len(said(cautioned)) == 1
        assert standing_refusals(cautioned.commission) == []

    def test_a_reason_settles_that_stage_and_rule_and_no_other(self, refused, anna):
        (row,) = self.overruled(refused, anna)
        assert (row.rule, row.by, row.at) == ("oil-over-fresh-water", anna, MONDAY)
        assert "would seal in the water" in row.said
        assert standing_refusals(refused.commission) == []
        keep_step(Stage(panel=refused, kind="varnish", binder="acrylic-varnish", gate="cured"))
        (other,) = standing_refusals(refused.commission)
        assert other.stage.kind == "varnish"

    def test_a_reason_holds_for_what_was_said_then_and_not_for_another_paint(self, refused, anna):
        self.overruled(refused, anna)
        assert standing_refusals(refused.commission) == []
        before = Overruling.objects.get().said
        change(refused, "ground-colour", binder="casein")
        (again,) = standing_refusals(refused.commission)
        assert again.finding.rule == "oil-over-fresh-water"
        assert again.said != before
        self.overruled(refused, anna, "Tried that too")
        assert standing_refusals(refused.commission) == []

    @pytest.mark.parametrize("reason", ["", "   ", "x" * 301])
    def test_a_reason_that_says_nothing_or_too_much_is_refused(self, reason, refused, anna):
        with pytest.raises(Refused) as refusal:
            self.overruled(refused, anna, reason)
        assert refusal.value.field == "reason"
        assert not Overruling.objects.exists()

    def test_the_panels_log_names_who_and_when_among_the_work_latest_first(
        self, refused, anna, at_desk
    ):
        self.overruled(refused, anna)
        for kind, end in (("clean", MONDAY - DAY), ("sand", MONDAY + DAY)):
            painted(Stage.objects.get(kind=kind), by=anna, end=end)
        answer = at_desk.get(reverse("panel", args=[refused.pk]))
        kinds = [type(event).__name__ for event in answer.context["story"].log]
        assert kinds == ["Sitting", "Overruling", "Sitting"]
        page = answer.content.decode()
        log = page[page.index('id="log"') : page.index('id="photos"')]
        assert "Tried on a board" in log
        assert "First oil: done all the same" in log
        assert "Anna" in log
        assert "Tried on a board" not in page[: page.index('id="log"')]

    def test_a_reason_alone_is_no_work_so_the_method_may_still_be_replaced(
        self, refused, anna, at_desk
    ):
        self.overruled(refused, anna)
        answer = at_desk.get(reverse("panel", args=[refused.pk]))
        assert answer.context["story"].worked is False
        assert "Take another method sheet" in answer.content.decode()
        refused.stages.all().delete()
        page = at_desk.get(reverse("panel", args=[refused.pk])).content.decode()
        assert "First oil: done all the same" in page
        assert "Tried on a board" in page

    def test_refusals_are_told_apart_by_stage_and_rule(self, refused):
        (one,) = standing_refusals(refused.commission)
        stage = refused.stages.first()
        assert Refusal(stage, one.finding).key != one.key
        assert one.key == f"{one.stage.pk}:oil-over-fresh-water"

    def test_a_mended_method_needs_no_reason(self, refused):
        change(refused, "ground-colour", gate="through-dry")
        assert standing_refusals(refused.commission) == []
        remove_record(refused.stages.get(kind="first-oil"))
        assert said(refused) == []
