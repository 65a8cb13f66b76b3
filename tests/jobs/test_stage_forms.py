"""The form of a stage: its medium and film, and the rules asked as it is typed."""

import pytest
from django.urls import reverse

from jobs.domain.methods import keep_step
from jobs.models import MethodSheet, Panel, SheetStage, Stage, Supply
from studio.domain.records import keep_record
from tests.jobs.laid import (
    DRY_GROUND,
    change,
)


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
