"""What deciding the ground colour late costs: coats, hours, drying, money."""

import re
from datetime import timedelta
from decimal import ROUND_HALF_UP, Decimal

import pytest
from django.urls import reverse

from jobs.domain.grounds import MOST_COLOURS, WHITE, bed_of, ground_colours, plain_ground
from jobs.domain.mixes import keep_mix
from jobs.domain.reckoning import reckon
from jobs.domain.workshop import workshop_of
from jobs.labour.methods import labour_rules
from jobs.layout.shapes import area
from jobs.models import Mix, Panel, Stage, Supply
from jobs.paint.hiding import coats_to_hide
from jobs.paint.opacity import coat_microns
from quotes.domain.late import Deciding, deciding_late
from quotes.domain.pricing import price_commission
from tests.cast import AGREED, STEPS, job, painted

CREAM, UMBER = "#e6d8b4", "#5b4636"
DAY = timedelta(days=1)


@pytest.fixture
def panel(anna) -> Panel:
    return job(anna.studio, ground_name="Warm cream", ground_colour=CREAM)


def fresh(panel: Panel) -> Panel:
    return Panel.objects.for_bench().get(pk=panel.pk)


def late(panel: Panel, **asked) -> Deciding:
    return deciding_late(fresh(panel), **asked)


def over_umber(panel: Panel, **asked) -> Deciding:
    return late(panel, over=("Burnt umber", UMBER), **asked)


def cost_of(found: Deciding, name: str):
    return next(each for each in found.costs if each.ground.name == name)


def undecide(panel: Panel) -> None:
    Panel.objects.filter(pk=panel.pk).update(ground_name="", ground_colour="")


def paint(panel: Panel, by, *kinds: str) -> None:
    """Finish all coats of these stages, a week after one another."""
    end = AGREED
    for stage in panel.stages.filter(kind__in=kinds):
        for _ in range(stage.coats):
            end += 7 * DAY
            painted(stage, by=by, end=end)


class TestWhatLiesThere:
    def test_before_anything_is_painted_it_is_the_white_of_the_primer(self, panel):
        bed = bed_of(fresh(panel))
        assert (bed.name, bed.colour) == ("white acrylic gesso", WHITE)
        assert (bed.laid, bed.left) == (0, 1)

    def test_a_ground_that_is_laid_lies_there_itself(self, panel, anna):
        paint(panel, anna, "prime", "ground-colour")
        bed = bed_of(fresh(panel))
        assert (bed.name, bed.colour, bed.laid, bed.left) == ("Warm cream", CREAM, 1, 0)

    def test_a_primer_or_ground_in_a_mix_has_the_colour_of_the_mix(self, panel, anna):
        tinted = keep_mix(Mix(studio=anna.studio, name="Grey", colour="#777777"), parts={"PW6": 1})
        panel.stages.filter(kind="prime").update(mix=tinted)
        assert bed_of(fresh(panel)).colour == "#777777"

    def test_a_mix_without_a_colour_of_its_own_is_reckoned_from_its_parts(self, panel, anna):
        unseen = keep_mix(Mix(studio=anna.studio, name="Unseen"), parts={"PY43": 3, "PW6": 1})
        panel.stages.filter(kind="ground-colour").update(mix=unseen)
        paint(panel, anna, "prime", "ground-colour")
        assert re.fullmatch("#[0-9a-f]{6}", bed_of(fresh(panel)).colour)

    def test_paint_over_the_ground_means_repainting_and_no_numbers(self, panel, anna):
        paint(panel, anna, "prime", "ground-colour", "first-oil")
        found = late(panel)
        assert found.costs == ()
        assert not found.may_ask
        assert "would repaint what is done" in found.why_not

    def test_a_drawing_over_the_ground_is_told_as_covered_and_not_as_repainted(self, anna, at_desk):
        drawn = job(anna.studio, steps=[*STEPS[:2], ("draw", "pencil", 1, "none"), STEPS[2]])
        paint(drawn, anna, "prime", "ground-colour", "draw")
        assert late(drawn).costs
        page = ask(at_desk, drawn).content.decode()
        assert "Transfer or draw" in page
        assert "covered and made again" in page

    def test_of_two_primers_the_one_laid_last_counts(self, anna):
        twice = job(anna.studio, steps=[*STEPS[:1], ("prime", "oil-ground", 1, "recoat"), STEPS[1]])
        first = twice.stages.first()
        for number in (1, 2):
            painted(first, by=anna, end=AGREED + number * DAY)
        assert bed_of(fresh(twice)).name == "white acrylic gesso"
        painted(twice.stages.all()[1], by=anna, end=AGREED + 30 * DAY)
        assert bed_of(fresh(twice)).name == "white oil ground"

    def test_a_method_without_a_ground_says_so(self, anna):
        bare = job(anna.studio, steps=[STEPS[0], STEPS[2]])
        assert late(bare).why_not == "This method lays no ground colour."

    def test_without_a_primer_nobody_knows_what_it_goes_on_until_she_says(self, anna):
        bare = job(anna.studio, steps=STEPS[1:])
        assert "lays no primer" in late(bare).why_not
        assert over_umber(bare).costs

    def test_a_ground_laid_in_no_colour_she_told_is_asked_for(self, panel, anna):
        paint(panel, anna, "prime", "ground-colour")
        undecide(panel)
        assert "nobody said its colour" in late(panel).why_not

    def test_a_panel_of_no_area_and_a_ground_of_no_paint_are_told(self, panel):
        panel.stages.filter(kind="ground-colour").update(binder="none")
        assert "laid with no paint" in late(panel).why_not
        Panel.objects.filter(pk=panel.pk).update(kind="polygon", points=[])
        assert "no area yet" in late(panel).why_not


class TestCoats:
    def test_the_colour_that_lies_there_takes_none_more(self, panel, anna):
        paint(panel, anna, "prime", "ground-colour")
        one = cost_of(late(panel), "Warm cream")
        assert (one.extra, one.most, one.money, one.minutes) == (0, 0, 0, 0)
        assert one.free
        assert one.decided

    def test_cream_after_all_takes_the_coats_that_hide_the_umber(self, panel, anna):
        one = cost_of(over_umber(panel), "Warm cream")
        supply = Supply.objects.get(studio=anna.studio, binder="acrylic")
        microns = coat_microns("acrylic", wet_um=1000 / float(supply.spread_rate))
        hides = coats_to_hide(UMBER, CREAM, "semi-opaque", microns)
        assert one.extra == hides.needed > 1
        assert (one.fewest, one.most) == (hides.at_best, hides.at_worst)
        assert one.now == one.in_time + one.extra

    def test_a_transparent_white_over_umber_asks_for_an_opaque_ground_first(self, panel):
        clear = plain_ground("Thin white", "#f4f4ee", opacity="transparent")
        one = cost_of(over_umber(panel, tried=clear), "Thin white")
        assert one.ground_first
        assert one.never_alone
        assert one.extra is not None

    def test_a_film_too_thin_to_hide_anything_has_no_number(self, panel):
        clear = plain_ground("Thin white", "#f4f4ee", opacity="transparent")
        one = cost_of(over_umber(panel, tried=clear, film_um=1), "Thin white")
        assert (one.extra, one.now, one.money) == (None, None, 0)

    def test_a_thicker_film_never_takes_more_coats(self, panel):
        extras = [
            cost_of(over_umber(panel, film_um=film), "Warm cream").extra
            for film in (40, 80, 160, 320)
        ]
        assert extras == sorted(extras, reverse=True)

    def test_a_thicker_film_takes_more_paint_a_coat_in_proportion(self, panel):
        one, two = (cost_of(over_umber(panel, film_um=film), "Warm cream") for film in (60, 120))
        assert float(two.ml / two.extra) == pytest.approx(float(2 * one.ml / one.extra), rel=0.01)

    @pytest.mark.parametrize("film", [0, -5])
    def test_a_film_of_nothing_is_answered_with_a_sentence(self, panel, film):
        assert late(panel, film_um=film).why_not == "A coat must be thicker than nothing."

    def test_a_change_of_mind_before_the_ground_counts_what_is_laid_in_any_case(self, panel):
        Stage.objects.filter(panel=panel, kind="ground-colour").update(coats=6)
        assert all(one.free for one in late(panel).costs)

    def test_while_no_ground_is_laid_the_darkest_is_told_as_laid_first(self, panel, anna):
        job(anna.studio, ground_name="Burnt umber", ground_colour=UMBER)
        found = late(panel)
        assert found.first.name == "Burnt umber"
        (one,) = found.after
        assert one == cost_of(over_umber(panel), "Warm cream")
        assert found.worst == one
        assert found.worst_after


class TestHoursDaysMoney:
    def test_money_is_the_hours_and_the_paint_to_the_cent(self, panel, anna):
        one = cost_of(over_umber(panel), "Warm cream")
        stage = fresh(panel).stages.get(kind="ground-colour")
        supply = Supply.objects.get(studio=anna.studio, binder="acrylic")
        minutes = reckon(stage, coats=one.extra).minutes
        square = Decimal(str(area(panel.shape))) / 1_000_000
        ml = 1000 * square * one.extra * (1 + supply.waste / 100) / supply.spread_rate
        ml = ml.quantize(Decimal("0.01"), ROUND_HALF_UP)
        work = Decimal(minutes * anna.studio.hourly_cost) / 60
        used = ml / supply.pack_ml * supply.pack_price
        whole = [int(each.quantize(Decimal(1), ROUND_HALF_UP)) for each in (work, used)]
        assert (one.minutes, one.ml) == (minutes, ml)
        assert [one.work, one.paint] == whole
        assert one.money == sum(whole) > 0

    def test_each_extra_coat_waits_for_the_one_before(self, panel, anna):
        one = cost_of(over_umber(panel), "Warm cream")
        stage = fresh(panel).stages.get(kind="ground-colour")
        wait = workshop_of(anna.studio).wait(stage, "recoat")
        assert (one.likely, one.surely) == (wait.likely * one.extra, wait.surely * one.extra)
        assert one.surely > one.likely

    def test_a_slow_pigment_in_an_oil_ground_waits_longer(self, panel, anna):
        panel.stages.filter(kind="ground-colour").update(binder="oil")
        for name, ci in (("Slow", "PBk9"), ("Quick", "PBr7")):
            keep_mix(Mix(studio=anna.studio, name=name, colour=CREAM), parts={ci: 1})
        found = over_umber(panel)
        slow, quick = cost_of(found, "Slow"), cost_of(found, "Quick")
        assert slow.likely / slow.extra > quick.likely / quick.extra

    def test_the_estimate_and_the_section_tell_the_kept_coats_in_the_same_words(
        self, panel, at_desk
    ):
        undecide(panel)
        why = labour_rules()["undecided-ground-extra-coats"].text
        lines = price_commission(panel.commission).costing.lines
        (line,) = [line for line in lines if line.key.startswith("ground-")]
        assert why in line.why
        page = at_desk.get(reverse("panel-late", args=[panel.pk])).content.decode()
        assert "two coats more kept in hand" in line.text
        assert "two coats more kept in hand" in page
        assert why in page


class TestColours:
    def test_they_are_the_studios_grounds_and_mixes_its_own_first_a_dozen_at_most(
        self, panel, anna
    ):
        for number in range(8):
            job(anna.studio, ground_name=f"Ground {number}", ground_colour=f"#1020{number}0")
            keep_mix(
                Mix(studio=anna.studio, name=f"Mix {number}", colour=f"#80{number}020"),
                parts={"PY43": 1},
            )
        found = ground_colours(fresh(panel))
        assert found[0].name == "Warm cream"
        assert len(found) == MOST_COLOURS
        assert any(each.mix for each in found)

    def test_a_strangers_grounds_and_mixes_are_not_among_them(self, panel, stranger):
        job(stranger.studio, ground_name="Theirs", ground_colour=UMBER)
        keep_mix(Mix(studio=stranger.studio, name="Their mix"), parts={"PY43": 1})
        assert [each.name for each in ground_colours(fresh(panel))] == ["Warm cream"]

    @pytest.mark.parametrize(
        ("parts", "used", "offered"),
        [
            ({"PY43": 1}, [], True),
            ({"PY43": 1}, [("first-oil", "oil")], False),
            ({"PY43": 1}, [("ground-colour", "oil")], False),
            ({"PY43": 1}, [("shadows", "acrylic")], True),
            ({"PY43": 1}, [("first-oil", "oil"), ("shadows", "acrylic")], True),
            ({"PW1": 3, "PY43": 1}, [], False),
            ({"PR83": 1, "PY43": 3}, [("shadows", "acrylic")], False),
            ({"PR83": 1, "PY43": 3}, [("ground-colour", "acrylic")], True),
        ],
    )
    def test_an_acrylic_ground_is_offered_the_mixes_it_can_be_laid_in(
        self, panel, anna, parts, used, offered
    ):
        # Alizarin crimson (PR83) is the fugitive lake: ASTM D4302 class, as the pigment table.
        mix = keep_mix(Mix(studio=anna.studio, name="Asked", colour=CREAM), parts=parts)
        other = job(anna.studio, ground_name="Warm cream", ground_colour=CREAM)
        for place, (kind, paint) in enumerate(used, start=50):
            Stage.objects.create(
                panel=other, position=place, kind=kind, name=kind, binder=paint, mix=mix
            )
        assert ("Asked" in [each.name for each in ground_colours(fresh(panel))]) is offered

    def test_the_same_ground_on_two_panels_is_one_colour(self, panel, anna):
        job(anna.studio, ground_name="Warm cream", ground_colour=CREAM)
        assert len(ground_colours(fresh(panel))) == 1


def ask(browser, panel: Panel, *, htmx: bool = False, **typed):
    headers = {"HX-Request": "true"} if htmx else {}
    return browser.get(reverse("panel-late", args=[panel.pk]), typed, headers=headers)


class TestThePage:
    def test_the_panel_page_fetches_it_and_leads_to_it_without_scripts(self, at_desk, panel):
        page = at_desk.get(reverse("panel", args=[panel.pk])).content.decode()
        address = reverse("panel-late", args=[panel.pk])
        assert f'hx-get="{address}"' in page
        assert f'<a href="{address}"' in page

    def test_a_part_is_given_to_the_panel_page_and_a_whole_page_else(self, at_desk, panel):
        part = ask(at_desk, panel, htmx=True).content.decode()
        assert "<html" not in part
        assert part.strip().startswith("<section")
        assert "<html" in ask(at_desk, panel).content.decode()

    def test_the_notice_of_an_undecided_ground_names_the_worst(self, at_desk, panel, anna):
        job(anna.studio, ground_name="Burnt umber", ground_colour=UMBER)
        job(anna.studio, ground_name="Warm cream", ground_colour=CREAM)
        assert 'id="late-worst"' not in ask(at_desk, panel, htmx=True).content.decode()
        undecide(panel)
        part = ask(at_desk, panel, htmx=True).content.decode()
        assert 'id="late-worst" hx-swap-oob="true"' in part
        assert "Burnt umber first, Warm cream after all: 2 coats more" in part
        supposed = ask(at_desk, panel, htmx=True, over=UMBER).content.decode()
        assert 'id="late-worst"' not in supposed
        assert 'id="late-worst"' in at_desk.get(reverse("panel", args=[panel.pk])).content.decode()

    def test_a_colour_to_try_stands_among_the_others(self, at_desk, panel):
        page = ask(at_desk, panel, over=CREAM, colour="#F0F0FF", opacity="transparent", film="")
        tried = page.context["late"].costs[-1]
        assert (tried.ground.colour, tried.ground.covers) == ("#f0f0ff", "transparent")
        assert "The colour you try" in page.content.decode()
        assert page.status_code == 200

    @pytest.mark.parametrize(
        ("typed", "field", "sentence"),
        [
            ({"colour": "#zzz", "opacity": "opaque"}, "colour", "‘#zzz’ is no colour"),
            ({"colour": "#c79a3b"}, "opacity", "Say how well it covers"),
            ({"opacity": "opaque"}, "colour", "Choose the colour"),
            ({"opacity": "milky"}, "opacity", "milky"),
            ({"film": "-3"}, "film", "thicker than nothing"),
            ({"film": "0"}, "film", "thicker than nothing"),
            ({"film": "9000"}, "film", "no coat of paint"),
            ({"film": "thin"}, "film", "whole microns"),
            ({"over": "#123456"}, "over", "one of these grounds"),
        ],
    )
    def test_what_is_typed_wrongly_is_said_beside_its_field_and_kept(
        self, at_desk, panel, typed, field, sentence
    ):
        page = ask(at_desk, panel, **typed)
        form = page.context["form"]
        assert page.status_code == 422
        assert list(form.errors) == [field]
        assert sentence in form.errors[field][0]
        assert form.data.dict() == typed
        assert page.context["late"].costs
        assert ask(at_desk, panel, htmx=True, **typed).status_code == 200

    def test_a_stranger_finds_nothing(self, client, panel, stranger):
        client.force_login(stranger)
        assert ask(client, panel).status_code == 404

    def test_the_coats_are_told_as_so_many_more_and_in_place_of_how_many(
        self, at_desk, panel, anna
    ):
        job(anna.studio, ground_name="Burnt umber", ground_colour=UMBER)
        page = " ".join(ask(at_desk, panel, over=UMBER).content.decode().split())
        one = cost_of(over_umber(panel), "Warm cream")
        assert f"<b>{one.extra} coats more</b> ({one.now} instead of {one.in_time})" in page

    def test_looking_changes_nothing_and_cannot_be_posted(self, at_desk, panel):
        assert at_desk.post(reverse("panel-late", args=[panel.pk])).status_code == 405

    def test_the_coats_by_contrast_ratio_stand_beside_those_by_colour_difference(
        self, at_desk, panel
    ):
        page = ask(at_desk, panel, over=CREAM, colour="#f0f0ff", opacity="semi-opaque", film="")
        tried = page.context["late"].costs[-1]
        rate = Supply.objects.get(binder="acrylic").spread_rate
        dry = coat_microns("acrylic", wet_um=1000 / float(rate))
        # The chart is black and white: what lies on the panel has no say in it.
        by_chart = coats_to_hide("#000000", "#f0f0ff", "semi-opaque", dry)
        over_it = coats_to_hide(CREAM, "#f0f0ff", "semi-opaque", dry)
        assert tried.by_contrast == by_chart.by_contrast != over_it.by_difference
        shown = " ".join(page.content.decode().split())
        assert "at a contrast ratio of 0.98 (ISO 6504-1) with:" in shown
        count = tried.by_contrast
        assert f"{tried.ground.name} {count} coat{'s' if count > 1 else ''}" in shown

    def test_before_the_first_ground_and_mix_it_says_that_there_are_none(self, at_desk, panel):
        undecide(panel)
        assert "no ground colours and no mixes yet" in ask(at_desk, panel).content.decode()
