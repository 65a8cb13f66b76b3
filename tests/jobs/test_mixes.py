"""The page of a mix: how it looks and lasts, how much it takes; and bad recipes."""

import re
from decimal import Decimal
from io import BytesIO

import pytest
from django.core.files.base import ContentFile
from django.core.files.uploadedfile import SimpleUploadedFile
from django.urls import reverse
from PIL import Image

from jobs.domain.grounds import ground_colours
from jobs.domain.mix_needs import mix_needs
from jobs.domain.mix_story import mix_story
from jobs.domain.mixes import (
    keep_mix,
    keep_swatch_photo,
    remove_swatch_photo,
)
from jobs.domain.own_values import keep_own_row
from jobs.models import Commission, Mix, MixPart, Stage
from jobs.paint.mixing import predict
from jobs.paint.opacity import scattering
from jobs.templatetags.trade import ml
from studio.refusal import Refused
from tests.cast import agreed_panel, job, painted
from tests.jobs.test_materials import mix_form

GOLD = {"PY43": 3, "PBr7 raw sienna": 1}
STEPS = (
    ("ground-colour", "acrylic", 1, "recoat"),
    ("first-oil", "oil", 2, "touch-dry"),
)


@pytest.fixture
def gold(anna) -> Mix:
    return keep_mix(Mix(studio=anna.studio, name="Old gold"), parts=GOLD)


def page(desk, mix: Mix) -> str:
    response = desk.get(reverse("mix", args=[mix.pk]))
    assert response.status_code == 200
    return response.content.decode()


# How it looks.


def test_a_mix_without_a_colour_of_its_own_shows_the_reckoned_one_and_how_unsure_it_is(
    at_desk, gold
):
    found = predict(GOLD)
    shown = page(at_desk, gold)
    assert gold.swatch == found.swatch
    assert f'fill="{found.swatch}"' in shown
    assert "expect a visible difference" in shown
    assert f"ΔE about {found.uncertainty:.0f}" in shown


def test_her_own_colour_counts_and_stands_beside_the_reckoned_one(at_desk, gold):
    gold.colour = "#c9a24b"
    keep_mix(gold, parts=GOLD)
    shown = page(at_desk, gold)
    assert gold.swatch == "#c9a24b"
    assert 'fill="#c9a24b"' in shown
    assert f'fill="{predict(GOLD).swatch}"' in shown
    assert "Yours counts" in shown


def test_a_colour_that_agrees_with_the_reckoning_is_said_to(anna):
    mix = Mix(studio=anna.studio, name="Same", colour=predict(GOLD).swatch)
    look = mix_story(keep_mix(mix, parts=GOLD)).look
    assert look.apart == pytest.approx(0, abs=0.3)
    assert look.apart_words == "no difference that can be seen"


def test_a_colour_is_left_to_be_reckoned_though_the_chooser_always_sends_one(at_desk, gold):
    data = mix_form(("PY43", "1"), look="reckoned", colour="#c9a24b", seen_version=gold.version)
    assert at_desk.post(reverse("mix-edit", args=[gold.pk]), data).status_code == 302
    gold.refresh_from_db()
    assert gold.colour == ""
    data |= {"look": "seen", "seen_version": gold.version}
    at_desk.post(reverse("mix-edit", args=[gold.pk]), data)
    gold.refresh_from_db()
    assert gold.colour == "#c9a24b"


def test_a_photograph_of_the_swatch_is_redrawn_shown_and_removed(at_desk, gold, settings):
    picture = BytesIO()
    Image.new("RGB", (40, 30), "#c9a24b").save(picture, "PNG")
    upload = SimpleUploadedFile("IMG_at_home.png", picture.getvalue())
    path = reverse("mix-swatch-new", args=[gold.pk])
    assert at_desk.post(path, {"image": upload}).status_code == 302
    gold.refresh_from_db()
    assert "home" not in gold.swatch_photo.name
    served = at_desk.get(reverse("mix-swatch", args=[gold.pk]))
    assert b"".join(served).startswith(b"\xff\xd8")
    assert reverse("mix-swatch", args=[gold.pk]) in page(at_desk, gold)
    at_desk.post(reverse("mix-swatch-remove", args=[gold.pk]))
    gold.refresh_from_db()
    assert not gold.swatch_photo
    assert at_desk.get(reverse("mix-swatch", args=[gold.pk])).status_code == 404


@pytest.mark.django_db(transaction=True)
def test_the_photograph_goes_with_its_mix_and_gives_way_to_another(client, anna, settings):
    client.force_login(anna)
    mix = keep_mix(Mix(studio=anna.studio, name="Old gold"), parts=GOLD)
    picture = BytesIO()
    Image.new("RGB", (40, 30)).save(picture, "PNG")
    for _ in range(2):
        upload = SimpleUploadedFile("a.png", picture.getvalue())
        client.post(reverse("mix-swatch-new", args=[mix.pk]), {"image": upload})
    assert len(list(settings.MEDIA_ROOT.rglob("*.jpg"))) == 1
    client.post(reverse("mix-remove", args=[mix.pk]))
    assert not list(settings.MEDIA_ROOT.rglob("*.jpg"))


def test_a_mix_changed_while_its_picture_was_redrawn_keeps_the_change(gold):
    for keep in (
        lambda mix: keep_swatch_photo(mix, image=ContentFile(b"a picture", name="a.jpg")),
        remove_swatch_photo,
    ):
        as_loaded = Mix.objects.get(pk=gold.pk)
        changed = Mix.objects.get(pk=gold.pk)
        changed.name, changed.colour = f"{changed.name} of the lid", "#c9a24b"
        keep_mix(changed, parts=GOLD)
        keep(as_loaded)
        kept = Mix.objects.get(pk=gold.pk)
        assert (kept.name, kept.colour) == (changed.name, "#c9a24b")
        assert kept.version == changed.version + 1
    assert not kept.swatch_photo


def test_a_photograph_of_a_mix_removed_meanwhile_is_refused(gold):
    as_loaded = Mix.objects.get(pk=gold.pk)
    Mix.objects.all().delete()
    with pytest.raises(Refused, match="removed meanwhile"):
        keep_swatch_photo(as_loaded, image=ContentFile(b"a picture", name="a.jpg"))


def test_what_is_no_picture_is_refused_beside_its_field(at_desk, gold):
    upload = SimpleUploadedFile("a.png", b"not a picture")
    response = at_desk.post(reverse("mix-swatch-new", args=[gold.pk]), {"image": upload})
    assert response.status_code == 422
    assert list(response.context["form"].errors) == ["image"]


# What it has of its parts.


def test_the_worst_part_is_named_for_its_lightfastness_and_the_slowest_for_its_drying(anna):
    parts = {"PY43": 6, "PR83": 2, "PBr7 raw umber": 2}
    traits = mix_story(keep_mix(Mix(studio=anna.studio, name="A"), parts=parts)).traits
    assert traits.lightfast == "III"
    assert [part.name for part in traits.fades] == ["alizarin crimson"]
    assert traits.drying.key == "slow"
    assert [part.name for part in traits.governs] == ["alizarin crimson"]


def test_a_studios_own_drying_class_governs_its_mixes(anna, gold):
    anna.studio.own_values.create(table="pigments", row="PY43", column="drying", value="slow")
    traits = mix_story(gold).traits
    assert traits.drying.key == "slow"
    assert [part.key for part in traits.governs] == ["PY43"]


def test_a_studios_own_opacity_counts_in_its_mixes_and_its_grounds(anna):
    ochre = keep_mix(Mix(studio=anna.studio, name="Ochre"), parts={"PY43": 1})
    keep_own_row(anna.studio, table="pigments", row="PY43", values={"opacity": "transparent"})
    assert mix_story(ochre).traits.opacity == "transparent"
    found = {each.name: each.power for each in ground_colours(agreed_panel(anna.studio))}
    assert found["Ochre"] == scattering("transparent")
    with pytest.raises(Refused, match="one of the opacity classes"):
        keep_own_row(anna.studio, table="pigments", row="PY43", values={"opacity": "milky"})


def test_hazards_of_the_parts_are_cautions_and_nothing_else_is(anna, gold):
    cadmium = keep_mix(Mix(studio=anna.studio, name="Lemon"), parts={"PY35": 1, "PW6": 4})
    assert [caution.key for caution in mix_story(cadmium).cautions] == ["cadmium"]
    assert mix_story(gold).cautions == ()


def test_shares_are_told_in_per_cent_and_earths_by_their_own_names(at_desk, gold):
    shares = mix_story(gold).shares
    assert [share.percent for share in shares] == [Decimal(75), Decimal(25)]
    shown = page(at_desk, gold)
    assert "raw sienna" in shown
    assert ">PBr7<" in shown


def test_a_recipe_of_a_colour_that_is_not_in_the_table_still_has_its_page(at_desk, gold):
    MixPart.objects.filter(mix=gold, pigment="PY43").update(pigment="PX9")
    assert "not in our table" in page(at_desk, gold)
    shown = at_desk.get(reverse("mix-edit", args=[gold.pk])).content.decode()
    assert "PX9 (not in the table)" in shown
    assert at_desk.get(reverse("mixes")).status_code == 200


# How much of it.


def test_the_remaining_coats_of_a_stage_say_how_much_is_mixed(anna, gold, clock):
    panel = job(anna.studio, steps=STEPS)
    oil = panel.stages.get(kind="first-oil")
    Stage.objects.filter(pk=oil.pk).update(mix=gold)
    supply = anna.studio.supplies.get(binder="oil")
    (need,) = mix_needs(gold).stages
    # 20 x 20 cm, its share painted, two coats, by the rate and with the waste of the materials.
    litres = Decimal("0.04") * oil.sort.cover * 2 / supply.spread_rate * (1 + supply.waste / 100)
    assert need.ml == pytest.approx(litres * 1000, abs=Decimal("0.01"))
    assert sum(share.ml for share in need.shares) == need.ml
    assert [share.tubes for share in need.shares] == [1, 1]
    painted(panel.stages.first(), by=anna, end=clock.now.replace(day=1))
    painted(Stage.objects.get(pk=oil.pk), by=anna, end=clock.now)
    (after,) = mix_needs(gold).stages
    assert after.coats == 1
    assert after.ml == pytest.approx(need.ml / 2, abs=Decimal("0.01"))


def test_a_thicker_film_takes_more_of_the_mix(anna, gold):
    panel = job(anna.studio, steps=STEPS)
    panel.stages.filter(kind="first-oil").update(mix=gold)
    usual = mix_needs(gold).together[0].ml
    panel.stages.update(film_um=500)
    assert mix_needs(gold).together[0].ml > usual


def test_only_agreed_work_is_added_up_and_tubes_are_bought_for_all_of_it(anna, gold):
    for title in range(3):
        panel = job(anna.studio, agreed=title < 2, steps=STEPS)
        panel.stages.filter(kind="first-oil").update(mix=gold)
    needs = mix_needs(gold)
    assert [row.in_hand for row in needs.to_paint] == [True, True, False]
    (together,) = needs.together
    assert together.ml == sum(row.ml for row in needs.stages if row.in_hand)
    assert [share.tubes for share in together.shares] == [1, 1]


def test_a_delivered_commission_takes_no_more_paint(at_desk, anna, gold):
    panel = job(anna.studio, steps=STEPS)
    panel.stages.filter(kind="first-oil").update(mix=gold)
    assert mix_needs(gold).to_paint
    Commission.objects.update(state="delivered")
    needs = mix_needs(gold)
    assert (needs.to_paint, needs.together, len(needs.done)) == ((), (), 1)
    assert "No agreed work takes any of it now" in page(at_desk, gold)


def test_each_stage_tells_its_tubes_an_enquiry_too(at_desk, anna, gold):
    panel = job(anna.studio, agreed=False, steps=STEPS)
    panel.stages.filter(kind="first-oil").update(mix=gold, film_um=500, coats=9)
    (need,) = mix_needs(gold).to_paint
    shown = page(at_desk, gold)
    assert not mix_needs(gold).together
    for share in need.shares:
        assert re.search(rf"{share.name} [^(]*\({share.tubes} tubes?\)", shown)
    assert "or by the wet film where one is typed for the stage" in shown


def test_paint_that_is_not_among_the_materials_is_said_to_be_missing(at_desk, anna, gold):
    job(anna.studio, steps=STEPS).stages.update(mix=gold)
    anna.studio.supplies.filter(binder="oil").delete()
    assert "not among your materials" in page(at_desk, gold)


def test_a_mix_no_stage_names_says_so(at_desk, gold):
    assert "No stage names this mix yet" in page(at_desk, gold)


# Recipes that cannot be.


@pytest.mark.parametrize(
    ("pigment", "count", "field", "sentence"),
    [
        ("PX999", "2", "pigment", "‘PX999’ is not in our table of tube colours"),
        ("", "7", "pigment", "Choose the tube colour"),
        ("PY43", "0", "parts", "Count from 1 to 1000"),
        ("PY43", "-1", "parts", "Count from 1 to 1000"),
        ("PY43", "1000000000", "parts", "Count from 1 to 1000"),
        ("PY43", "1.5", "parts", "Count from 1 to 1000"),
        ("PY43", "", "parts", "Count from 1 to 1000"),
    ],
)
def test_a_wrong_row_gets_its_sentence_and_keeps_what_was_typed(
    pigment, count, field, sentence, at_desk
):
    response = at_desk.post(reverse("mix-new"), mix_form(("PW6", "1"), (pigment, count)))
    assert response.status_code == 422
    first, second = response.context["form"].parts.errors
    assert not first
    assert sentence in second[field][0]
    shown = response.content.decode()
    assert f'value="{count}"' in shown or not count
    assert f'value="{pigment}" selected' in shown or not pigment
    assert 'value="Old gold"' in shown
    assert not Mix.objects.exists()


def test_all_parts_nothing_is_refused_row_by_row(at_desk):
    response = at_desk.post(reverse("mix-new"), mix_form(("PW6", "0"), ("PY43", "0")))
    assert [list(row) for row in response.context["form"].parts.errors] == [["parts"], ["parts"]]


def test_the_same_tube_colour_twice_is_said_beside_the_second_row(at_desk):
    response = at_desk.post(reverse("mix-new"), mix_form(("PY43", "1"), ("PY43", "2")))
    first, second = response.context["form"].parts.errors
    assert not first
    assert "Yellow ochre stands in a row above already" in second["pigment"][0]


def test_two_rows_may_swap_their_colours(at_desk, anna, gold):
    rows = {str(part.pk): part for part in gold.parts.all()}
    data = mix_form(
        ("PBr7 raw sienna", "3"), ("PY43", "1"), initial=2, seen_version=gold.version
    ) | {f"parts-{place}-id": pk for place, pk in enumerate(rows)}
    assert at_desk.post(reverse("mix-edit", args=[gold.pk]), data).status_code == 302
    assert Mix.objects.get().recipe == {"PBr7 raw sienna": 3, "PY43": 1}


def test_the_verb_itself_refuses_a_recipe_of_nothing_or_of_an_unknown_colour(anna):
    for parts in ({}, {"PY43": 0}, {"PX1": 1}):
        with pytest.raises(Refused):
            keep_mix(Mix(studio=anna.studio, name="No"), parts=parts)
    assert not Mix.objects.exists()


def test_what_is_told_of_all_work_is_the_sum_of_what_is_told_of_each(anna, gold, at_desk):
    panels = [job(anna.studio, steps=STEPS) for _ in range(2)]
    oils = Stage.objects.filter(panel__in=panels, kind="first-oil")
    oils.update(mix=gold, coats=1)
    for oil, film in zip(oils, (88, 58), strict=True):
        Stage.objects.filter(pk=oil.pk).update(film_um=film)
    needs = mix_needs(gold)
    (together,) = needs.together
    told = [ml(row.ml, anna.studio) for row in needs.to_paint]
    parts = sum(Decimal(one.removesuffix(" ml")) for one in told)
    assert ml(together.told, anna.studio) == f"{parts.normalize()} ml"
