"""The page of a mix: how it looks and lasts, how much it takes, its family; and bad recipes."""

from decimal import Decimal
from io import BytesIO
from uuid import uuid4

import pytest
from django.core.files.uploadedfile import SimpleUploadedFile
from django.urls import reverse
from PIL import Image

from jobs.domain.grounds import ground_colours
from jobs.domain.mix_needs import mix_needs
from jobs.domain.mix_story import mix_story
from jobs.domain.mixes import families, keep_mix, keep_sibling
from jobs.domain.own_values import keep_own_row
from jobs.models import Mix, MixPart, Stage
from jobs.paint.mixing import predict
from jobs.paint.opacity import scattering
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


def test_paint_that_is_not_among_the_materials_is_said_to_be_missing(at_desk, anna, gold):
    job(anna.studio, steps=STEPS).stages.update(mix=gold)
    anna.studio.supplies.filter(binder="oil").delete()
    assert "not among your materials" in page(at_desk, gold)


def test_a_mix_no_stage_names_says_so(at_desk, gold):
    assert "No stage names this mix yet" in page(at_desk, gold)


# Its family.


def test_a_reckoned_sibling_is_kept_once_for_a_double_click(at_desk, anna, gold):
    path, once = reverse("mix-sibling", args=[gold.pk, "darker"]), {"once": str(uuid4())}
    answers = {at_desk.post(path, once).url for _ in range(2)}
    new = Mix.objects.get(name="Old gold, darker")
    assert answers == {reverse("mix", args=[new.pk])}
    assert (new.family, new.colour) == (gold, "")
    assert new.recipe["PBr7 burnt umber"]
    at_desk.post(path, {"once": str(uuid4())})
    assert Mix.objects.of(anna.studio).count() == 2
    assert "Keep as ‘Old gold, lighter’" in page(at_desk, gold)
    assert "Keep as ‘Old gold, darker’" not in page(at_desk, gold)


def test_a_sibling_of_a_sibling_joins_the_same_family(anna, gold):
    darker = keep_sibling(gold, way="darker")
    darkest = keep_sibling(darker, way="darker")
    assert darkest.family == gold
    (together,) = families(Mix.objects.of(anna.studio))
    assert together == [gold, darker, darkest]


def test_a_name_as_long_as_may_be_leaves_room_for_the_sibling(anna):
    mix = keep_mix(Mix(studio=anna.studio, name="g" * 80), parts=GOLD)
    assert keep_sibling(mix, way="lighter").name == "g" * 71 + ", lighter"


def test_white_has_no_lighter_sibling_to_keep(at_desk, anna):
    white = keep_mix(Mix(studio=anna.studio, name="White"), parts={"PW6": 1})
    with pytest.raises(Refused, match="no lighter"):
        keep_sibling(white, way="lighter")
    assert "make it no lighter" in page(at_desk, white)
    assert at_desk.post(reverse("mix-sibling", args=[white.pk, "greener"])).status_code == 404


def test_a_family_that_goes_round_in_a_ring_is_refused(anna, gold):
    darker = keep_sibling(gold, way="darker")
    gold.family = darker
    with pytest.raises(Refused, match="sibling of ‘Old gold’ already") as refused:
        keep_mix(gold, parts=GOLD)
    assert refused.value.field == "family"
    gold.family = gold
    with pytest.raises(Refused, match="no sibling of itself"):
        keep_mix(gold, parts=GOLD)


def test_a_mix_cannot_be_put_in_its_own_family_on_the_page(at_desk, gold):
    data = mix_form(("PY43", "1"), family=str(gold.pk), seen_version=gold.version)
    response = at_desk.post(reverse("mix-edit", args=[gold.pk]), data)
    assert response.status_code == 422
    assert list(response.context["form"].mix.errors) == ["family"]


def test_a_head_put_in_another_family_brings_its_siblings_along(anna, gold):
    darker = keep_sibling(gold, way="darker")
    other = keep_mix(Mix(studio=anna.studio, name="Ochre"), parts={"PY43": 1})
    gold.family = other
    keep_mix(gold, parts=GOLD)
    darker.refresh_from_db()
    assert darker.family == other


def test_the_list_shows_families_together(at_desk, anna, gold):
    keep_mix(Mix(studio=anna.studio, name="Old green"), parts={"PG17": 1})
    keep_sibling(gold, way="darker")
    shown = [
        [mix.name for mix in members]
        for members in at_desk.get(reverse("mixes")).context["families"]
    ]
    assert shown == [["Old gold", "Old gold, darker"], ["Old green"]]


def test_the_list_names_each_panel_a_mix_is_used_on_once(at_desk, anna, gold):
    job(anna.studio, name="Plait", steps=STEPS).stages.update(mix=gold)
    assert gold.used_on == ["Plait"]
    assert "Used on Plait" in at_desk.get(reverse("mixes")).content.decode()


def test_a_sibling_typed_by_hand_that_is_about_as_light_is_found_in_its_stead(at_desk, gold):
    darker = mix_story(gold).kin[1].prediction.swatch
    by_hand = Mix(studio=gold.studio, name="In the shade", colour=darker, family=gold)
    keep_mix(by_hand, parts={"PBr7 burnt umber": 1})
    kept = {kin.way: kin.kept for kin in mix_story(gold).kin}
    assert kept == {"lighter": None, "darker": by_hand}


def test_the_list_without_a_mix_says_what_to_do(at_desk):
    assert "No mixes yet" in at_desk.get(reverse("mixes")).content.decode()


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
