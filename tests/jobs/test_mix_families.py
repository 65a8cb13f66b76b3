"""The family of a mix: its lighter and darker siblings, under one head."""

from uuid import uuid4

import pytest
from django.urls import reverse

from jobs.domain.mix_story import mix_story
from jobs.domain.mixes import families, family_of, keep_mix, keep_sibling
from jobs.models import Mix
from studio.refusal import Refused
from tests.cast import job
from tests.jobs.test_materials import mix_form
from tests.jobs.test_mixes import GOLD, STEPS, page


@pytest.fixture
def gold(anna) -> Mix:
    return keep_mix(Mix(studio=anna.studio, name="Old gold"), parts=GOLD)


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


def test_a_head_removed_leaves_its_siblings_together_under_the_first_of_them(at_desk, gold):
    darker = keep_sibling(gold, way="darker")
    lighter = keep_sibling(gold, way="lighter")
    path = reverse("mix-remove", args=[gold.pk])
    asked = at_desk.get(path).content.decode()
    assert "Its siblings stay together: ‘Old gold, darker’ heads the family then." in asked
    assert at_desk.post(path).status_code == 302
    darker.refresh_from_db()
    lighter.refresh_from_db()
    assert (darker.family, lighter.family) == (None, darker)
    assert family_of(lighter) == [lighter, darker]
    alone = at_desk.get(reverse("mix-remove", args=[lighter.pk])).content.decode()
    assert "stay together" not in alone


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
