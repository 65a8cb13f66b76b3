"""What the layering rules say of a method, of what lies on a panel, and of a stage as typed."""

from datetime import UTC, datetime, timedelta
from zoneinfo import ZoneInfo

import pytest
from django.urls import reverse

from jobs.domain.layering import (
    Refusal,
    findings_as_typed,
    method_findings,
    overrule,
    standing_refusals,
    verdict_now,
)
from jobs.domain.methods import keep_step
from jobs.domain.mixes import keep_mix
from jobs.domain.work import record_touch_test
from jobs.domain.workshop import workshop_of
from jobs.models import MethodSheet, Mix, Overruling, Panel, SheetStage, Stage, Supply
from studio.domain.records import keep_record, remove_record
from studio.models import Studio
from studio.refusal import Refused
from tests.cast import job, painted

MONDAY = datetime(2026, 11, 2, 12, tzinfo=UTC)
HOUR = timedelta(hours=1)
DAY = timedelta(days=1)
SOUND = (("clean", "wash", 1, "recoat"), ("sand", "none", 1, "none"))
GROUND = (("prime", "gesso", 2, "recoat"), ("ground-colour", "acrylic", 1, "through-dry"))
DRY_GROUND = (*SOUND, *GROUND)


@pytest.fixture
def panel_with(anna):
    """Make a panel on a sound painted piece, with no finding but what a test puts there."""

    def make(*steps, **piece) -> Panel:
        panel = job(anna.studio, steps=steps)
        given = {"material": "hardwood", "finish": "painted", **piece}
        type(panel.surface.piece).objects.filter(pk=panel.surface.piece_id).update(**given)
        return Panel.objects.get(pk=panel.pk)

    return make


def fresh(panel: Panel) -> Panel:
    return Panel.objects.of(panel.owner).for_bench().get(pk=panel.pk)


def said(panel: Panel) -> list[tuple[str, str]]:
    panel = fresh(panel)
    steps = list(panel.stages.all())
    return [(step.kind, one.rule) for step, one in method_findings(steps, studio=panel.owner)]


def now_said(panel: Panel, now: datetime):
    return verdict_now(fresh(panel), now=now, workshop=workshop_of(panel.owner))


def mix(studio: Studio, colour: str = "", **parts: int) -> Mix:
    return keep_mix(Mix(studio=studio, name="A mix", colour=colour), parts=parts)


def change(panel: Panel, kind: str, **values) -> None:
    Stage.objects.filter(panel=panel, kind=kind).update(**values)


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
        assert said(panel_with(*DRY_GROUND, **piece)) == [("prime", rule)]

    def test_the_air_of_the_studio(self, panel_with, anna):
        panel = panel_with(*SOUND, ("seal", "shellac", 1, "recoat"))
        assert said(panel) == []
        Studio.objects.update(room_humidity=85)
        assert said(panel) == [("seal", "damp-shellac")]
        Studio.objects.update(room_humidity=50, room_temperature=8)
        cold = panel_with(*DRY_GROUND)
        assert ("prime", "too-cold") in said(cold)

    def test_a_sheet_is_judged_without_a_piece(self, anna):
        sheet = keep_record(MethodSheet(studio=anna.studio, name="Our way"))
        for kind, binder, gate in (
            ("first-oil", "oil", "cured"),
            ("varnish", "acrylic-varnish", "cured"),
        ):
            keep_step(SheetStage(sheet=sheet, kind=kind, binder=binder, gate=gate))
        found = method_findings(list(sheet.stages.all()), studio=anna.studio)
        assert ("varnish", "water-over-oil") in [(step.kind, one.rule) for step, one in found]


class TestWhatLiesThereNow:
    oil = ("first-oil", "oil", 1, "touch-dry")

    def grounded(self, panel_with, anna, *, gate: str = "recoat") -> Panel:
        """Return a panel whose ground colour was finished on Monday at noon."""
        panel = panel_with(*DRY_GROUND, self.oil)
        change(panel, "ground-colour", gate=gate)
        end = MONDAY - 20 * DAY
        for stage in panel.stages.exclude(kind="first-oil"):
            for _ in range(stage.coats):
                end += DAY
                painted(stage, by=anna, end=MONDAY if stage.kind == "ground-colour" else end)
        return panel

    def test_nothing_is_said_of_a_panel_with_nothing_on_it_or_nothing_left(self, panel_with, anna):
        panel = panel_with(("prime", "gesso", 1, "recoat"))
        assert now_said(panel, MONDAY) is None
        painted(panel.stages.get(), by=anna, end=MONDAY)
        assert now_said(panel, MONDAY) is None

    def test_the_day_to_wait_for_is_told_as_the_gate_reckons_it(self, panel_with, anna):
        panel = self.grounded(panel_with, anna)
        wait = workshop_of(anna.studio).wait(panel.stages.get(kind="ground-colour"), "through-dry")
        verdict = now_said(panel, MONDAY + DAY)
        assert (verdict.level, verdict.rule) == ("refused", "oil-over-fresh-water")
        assert verdict.wait_until == MONDAY + wait.median
        day = MONDAY + wait.median
        assert f"(likely {day.day} {day:%B})" in verdict.mend

    def test_once_it_is_dry_all_through_nothing_speaks_against_it(self, panel_with, anna):
        panel = self.grounded(panel_with, anna)
        until = now_said(panel, MONDAY + DAY).wait_until
        assert now_said(panel, until - timedelta(minutes=1)).level == "refused"
        assert now_said(panel, until).level == "allowed"

    def test_a_drawing_on_it_does_not_shorten_the_wait(self, panel_with, anna):
        panel = self.grounded(panel_with, anna)
        until = now_said(panel, MONDAY + DAY).wait_until
        draw = Stage(panel=panel, kind="draw", binder="pencil", gate="none")
        keep_step(draw)
        painted(Stage.objects.get(kind="draw"), by=anna, end=MONDAY + 20 * HOUR)
        verdict = now_said(panel, MONDAY + DAY)
        assert (verdict.rule, verdict.wait_until) == ("oil-over-fresh-water", until)

    def test_the_day_is_the_studios_own(self, panel_with, anna):
        panel = self.grounded(panel_with, anna)
        until = now_said(panel, MONDAY + DAY).wait_until
        for zone in ("Pacific/Auckland", "Pacific/Honolulu"):
            Studio.objects.update(time_zone=zone)
            there = until.astimezone(ZoneInfo(zone))
            mend = now_said(Panel.objects.get(pk=panel.pk), MONDAY + DAY).mend
            assert f"(likely {there.day} {there:%B})" in mend

    def test_a_coat_still_tacky_to_the_finger_is_waited_for(self, panel_with, anna):
        panel = panel_with(*DRY_GROUND, self.oil, ("details", "oil", 1, "touch-dry"))
        for stage in panel.stages.exclude(kind="details"):
            for coat in range(stage.coats):
                painted(stage, by=anna, end=MONDAY + DAY * (10 * stage.position + coat))
        stage = panel.stages.get(kind="first-oil")
        (end,) = stage.coat_ends
        late = end + 40 * DAY
        assert now_said(panel, late).level == "allowed"
        record_touch_test(stage, coat=1, result="tacky", by=anna, at=late - HOUR)
        assert now_said(panel, late).rule == "too-early"

    def test_the_second_coat_waits_for_the_first_as_between_coats(self, panel_with, anna):
        panel = panel_with(*SOUND, ("ground-colour", "acrylic", 2, "through-dry"))
        for stage, hours in zip(panel.stages.all(), (30, 20, 0), strict=True):
            painted(stage, by=anna, end=MONDAY - hours * HOUR)
        assert now_said(panel, MONDAY + timedelta(minutes=1)).rule == "too-early"
        assert now_said(panel, MONDAY + 5 * HOUR).level == "allowed"

    def test_sanding_still_to_come_counts_as_in_the_method(self, panel_with, anna):
        steps = (
            ("clean", "wash", 1, "recoat"),
            ("prime", "gesso", 1, "recoat"),
            ("sand", "none", 1, "none"),
        )
        panel = panel_with(*steps, finish="bare")
        # A stage made anew stands where its kind usually does; here she sands after the primer.
        change(panel, "sand", position=2)
        change(panel, "prime", position=1)
        painted(panel.stages.get(kind="clean"), by=anna, end=MONDAY)
        assert said(panel) == []
        assert now_said(panel, MONDAY + DAY).level == "allowed"

    def test_the_panels_page_says_until_when(self, panel_with, anna, at_desk, clock):
        clock.now = MONDAY + DAY
        panel = self.grounded(panel_with, anna)
        page = at_desk.get(reverse("panel", args=[panel.pk])).content.decode()
        now = page[page.index('id="now"') : page.index("</section>", page.index('id="now"'))]
        assert now_said(panel, clock.now).mend in now

    def test_a_wait_the_page_tells_already_is_no_second_notice(
        self, panel_with, anna, at_desk, clock
    ):
        clock.now = MONDAY + DAY
        panel = self.grounded(panel_with, anna, gate="through-dry")
        story = at_desk.get(reverse("panel", args=[panel.pk])).context["story"]
        assert (story.verdict.level, story.loud) == ("refused", False)

    def test_nothing_is_said_while_she_is_at_it(self, panel_with, anna, at_desk, clock):
        clock.now = MONDAY + DAY
        panel = self.grounded(panel_with, anna)
        oil = panel.stages.get(kind="first-oil")
        at_desk.post(reverse("sitting-start", args=[oil.pk]), {"anyway": "1"})
        story = at_desk.get(reverse("panel", args=[panel.pk])).context["story"]
        assert story.running
        assert (story.verdict, story.loud) == (None, False)


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


def press_check(browser, name: str, pk: int, **typed) -> str:
    answer = browser.post(reverse(name, args=[pk]), typed)
    assert answer.status_code == 200
    return answer.content.decode()


class TestTheCheckPage:
    varnish = {"kind": "varnish", "binder": "acrylic-varnish", "coats": "1", "gate": "cured"}

    @pytest.fixture
    def oiled(self, panel_with) -> Panel:
        return panel_with(*DRY_GROUND, ("first-oil", "oil", 1, "cured"))

    @pytest.fixture
    def sheet(self, anna) -> MethodSheet:
        sheet = keep_record(MethodSheet(studio=anna.studio, name="Our way"))
        keep_step(SheetStage(sheet=sheet, kind="first-oil", binder="oil", gate="cured"))
        return sheet

    @pytest.mark.parametrize("on", ["panel", "sheet"])
    def test_a_new_stage_is_judged_and_not_saved(self, on, at_desk, oiled, sheet):
        owner, name = (oiled, "stage") if on == "panel" else (sheet, "step")
        before = owner.stages.count()
        page = press_check(at_desk, f"{name}-new-check", owner.pk, **self.varnish)
        assert "does not hold on oil colour, however dry" in page
        assert "an isolating coat of dewaxed shellac" in page
        assert owner.stages.count() == before

    @pytest.mark.parametrize("on", ["panel", "sheet"])
    def test_a_stage_that_is_there_is_judged_as_typed_and_stays(self, on, at_desk, oiled, sheet):
        owner, name = (oiled, "stage") if on == "panel" else (sheet, "step")
        keep = {"kind": "varnish", "binder": "resin-varnish", "gate": "cured"}
        row = keep_step(
            Stage(panel=oiled, **keep) if on == "panel" else SheetStage(sheet=sheet, **keep)
        )
        typed = {**self.varnish, "seen_version": row.version}
        page = press_check(at_desk, f"{name}-check", row.pk, **typed)
        assert "does not hold on oil colour" in page
        assert owner.stages.get(kind="varnish").binder == "resin-varnish"
        fine = press_check(at_desk, f"{name}-check", row.pk, **{**typed, "binder": "resin-varnish"})
        assert "No layering rule speaks against this stage" in fine

    def test_another_stage_it_touches_is_named(self, at_desk, oiled):
        ground = oiled.stages.get(kind="ground-colour")
        typed = {"kind": "ground-colour", "binder": "acrylic", "coats": "1", "gate": "recoat"}
        page = press_check(at_desk, "stage-check", ground.pk, **typed)
        assert "First oil" in page
        assert "would seal in the water" in page

    def test_a_form_that_is_not_whole_is_told_what_to_mend(self, at_desk, oiled):
        page = press_check(at_desk, "stage-new-check", oiled.pk, **{**self.varnish, "coats": "99"})
        assert "Coats:" in page
        assert "No layering rule" not in page

    def test_the_media_offered_change_with_the_paint(self, at_desk, oiled):
        oil = press_check(at_desk, "stage-new-check", oiled.pk, kind="details", binder="oil")
        assert 'hx-swap-oob="true"' in oil
        assert ("alkyd medium" in oil, "slow acrylic medium" in oil) == (True, False)
        water = press_check(at_desk, "stage-new-check", oiled.pk, kind="details", binder="acrylic")
        assert ("alkyd medium" in water, "slow acrylic medium" in water) == (False, True)

    def test_the_form_asks_it_with_every_change(self, at_desk, oiled):
        for path, check in (
            (reverse("stage-new", args=[oiled.pk]), reverse("stage-new-check", args=[oiled.pk])),
            (
                reverse("stage-edit", args=[oiled.stages.first().pk]),
                reverse("stage-check", args=[oiled.stages.first().pk]),
            ),
        ):
            page = at_desk.get(path).content.decode()
            assert f'hx-post="{check}"' in page
            assert "change delay:300ms from:closest form" in page


class TestMediumAndFilm:
    step = {"kind": "details", "name": "", "binder": "oil", "coats": "1", "gate": "touch-dry"}

    def post(self, browser, panel, **typed):
        path = reverse("stage-new", args=[panel.pk])
        return browser.post(path, {**self.step, **typed})

    def test_both_are_kept_and_named_on_the_panel_and_on_the_sheet(self, at_desk, panel_with, anna):
        panel = panel_with(*DRY_GROUND)
        sheet = keep_record(MethodSheet(studio=anna.studio, name="Our way"))
        typed = {**self.step, "medium": "alkyd", "film_um": "60"}
        for new, owner, shown in (("stage-new", panel, "panel"), ("step-new", sheet, "sheet")):
            assert at_desk.post(reverse(new, args=[owner.pk]), typed).status_code == 302
            row = owner.stages.get(kind="details")
            assert (row.medium, row.film_um) == ("alkyd", 60)
            page = at_desk.get(reverse(shown, args=[owner.pk])).content.decode()
            assert "oil colour, worked with alkyd medium, 60 microns wet" in page

    def test_left_empty_it_is_as_the_studio_spreads_it(self, at_desk, panel_with, anna):
        panel = panel_with(*DRY_GROUND)
        assert self.post(at_desk, panel, film_um="").status_code == 302
        row = panel.stages.get(kind="details")
        assert row.film_um is None
        Supply.objects.filter(binder="oil").update(spread_rate=25)
        form = at_desk.get(reverse("stage-edit", args=[row.pk])).context["form"]
        assert "about 40 microns" in form["film_um"].help_text

    @pytest.mark.parametrize("film", ["0", "-40", "5001", "1000000000"])
    def test_a_film_that_cannot_be_is_refused_beside_its_field(self, film, at_desk, panel_with):
        answer = self.post(at_desk, panel_with(*DRY_GROUND), film_um=film)
        assert answer.status_code == 422
        form = answer.context["form"]
        assert form.errors == {"film_um": ["A wet coat is from 1 to 5,000 microns (5 mm) thick."]}
        assert form["film_um"].value() == film

    def test_what_leaves_no_film_has_no_thickness(self, at_desk, panel_with):
        sanding = {"kind": "sand", "binder": "none", "gate": "none", "film_um": "60"}
        answer = self.post(at_desk, panel_with(*DRY_GROUND), **sanding)
        assert list(answer.context["form"].errors) == ["film_um"]

    def test_a_medium_that_does_not_go_into_the_paint_is_refused_beside_its_field(
        self, at_desk, panel_with
    ):
        panel = panel_with(*DRY_GROUND)
        answer = self.post(at_desk, panel, binder="acrylic", medium="alkyd")
        assert answer.context["form"].errors == {
            "medium": ["Alkyd medium does not go into acrylic."]
        }
        assert not panel.stages.filter(kind="details").exists()

    def test_only_what_goes_into_its_paint_is_offered_and_what_is_kept(self, at_desk, panel_with):
        panel = panel_with(
            *DRY_GROUND, ("draw", "pencil", 1, "none"), ("details", "oil", 1, "cured")
        )

        def offered(stage: Stage) -> set[str]:
            form = at_desk.get(reverse("stage-edit", args=[stage.pk])).context["form"]
            return {key for key, _ in form.fields["medium"].widget.choices}

        draw, oil = panel.stages.get(kind="draw"), panel.stages.get(kind="details")
        assert offered(draw) == {"", "graphite", "white-pencil", "chalk"}
        assert {"alkyd", "linseed"} <= offered(oil)
        assert not {"gloss", "graphite"} & offered(oil)
        change(panel, "details", medium="gloss")
        assert "gloss" in offered(oil)


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
