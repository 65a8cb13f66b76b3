"""Colour mixes by Colour Index names, and what the studio buys."""

import pytest
from django.urls import reverse

from jobs.domain.supplies import add_usual_supplies
from jobs.models import Mix, MixPart, Supply
from jobs.paint.binders import binders
from jobs.paint.pigments import pigments
from studio.domain.records import keep_record
from studio.forms import COMMON_CURRENCIES
from studio.models import Studio
from tests.cast import job, studio_of


def mix_form(*parts: tuple[str, str], initial: int = 0, **changed) -> dict[str, str]:
    data = {
        "name": "Old gold", "colour": "#C9A24B", "notes": "", "parts-TOTAL_FORMS": str(len(parts)),
        "parts-INITIAL_FORMS": str(initial), "parts-MIN_NUM_FORMS": "0",
        "parts-MAX_NUM_FORMS": "1000",
    }  # fmt: skip
    for row, (pigment, count) in enumerate(parts):
        data |= {f"parts-{row}-pigment": pigment, f"parts-{row}-parts": count}
    return data | changed


@pytest.fixture
def two() -> list[str]:
    return list(pigments())[:2]


def test_a_mix_is_kept_in_parts_of_tube_colours(at_desk, anna, two):
    data = mix_form((two[0], "3"), (two[1], "1"), ("", "1"))
    went_to = at_desk.post(reverse("mix-new"), data).url
    mix = Mix.objects.of(anna.studio).get()
    assert went_to == reverse("mix", args=[mix.pk])
    assert mix.colour == "#c9a24b"
    assert list(mix.parts.values_list("pigment", "parts")) == [(two[0], 3), (two[1], 1)]


@pytest.mark.parametrize("parts", [(), (("", "1"),), (("", "1"), ("", "1"))])
def test_a_mix_of_nothing_is_refused_and_its_name_stays(parts, at_desk):
    response = at_desk.post(reverse("mix-new"), mix_form(*parts))
    assert response.status_code == 422
    formset = response.context["form"].parts
    assert formset.non_form_errors() == ["A mix needs at least one tube colour."]
    assert response.context["form"].mix["name"].value() == "Old gold"
    assert not Mix.objects.exists()


@pytest.mark.parametrize(
    ("pigment", "count"),
    [
        ("PX999", "1"),
        ("gold", "1"),
        ("", "7"),
        ("PY42", "0"),
        ("PY42", "-1"),
        ("PY42", "1000000000"),
    ],
)
def test_a_part_that_cannot_be_is_refused_in_its_row(pigment, count, at_desk):
    response = at_desk.post(reverse("mix-new"), mix_form((pigment, count)))
    assert response.status_code == 422
    assert any(response.context["form"].parts.errors)
    assert not Mix.objects.exists()


def test_one_tube_colour_has_one_row(at_desk, two):
    response = at_desk.post(reverse("mix-new"), mix_form((two[0], "1"), (two[0], "2")))
    assert response.status_code == 422
    assert not Mix.objects.exists()


@pytest.mark.parametrize("colour", ["gold", "#12345", "#gggggg", "red; }"])
def test_a_colour_is_a_colour(colour, at_desk, two):
    response = at_desk.post(reverse("mix-new"), mix_form((two[0], "1"), colour=colour))
    assert list(response.context["form"].mix.errors) == ["colour"]


@pytest.mark.parametrize("total", ["", "x", "-1", "1000000000"])
def test_a_meddled_count_of_rows_is_refused_safely(total, at_desk, two):
    data = mix_form((two[0], "1"), **{"parts-TOTAL_FORMS": total})
    assert at_desk.post(reverse("mix-new"), data).status_code in (302, 422)


def test_a_stale_mix_is_refused_and_then_saved_on_purpose(at_desk, anna, two):
    mix = keep_record(Mix(studio=anna.studio, name="Gold", colour="#c9a24b"))
    Mix.objects.filter(pk=mix.pk).update(version=5)
    data = mix_form((two[0], "2"), seen_version="1")
    response = at_desk.post(reverse("mix-edit", args=[mix.pk]), data)
    assert response.status_code == 422
    again = {**data, "seen_version": response.context["form"].mix["seen_version"].value()}
    assert at_desk.post(reverse("mix-edit", args=[mix.pk]), again).status_code == 302
    assert MixPart.objects.get().parts == 2


def test_a_mix_removed_leaves_the_stage_it_was_used_on(at_desk, anna):
    mix = keep_record(Mix(studio=anna.studio, name="Gold", colour="#c9a24b"))
    panel = job(anna.studio, agreed=False)
    panel.stages.update(mix=mix)
    at_desk.post(reverse("mix-remove", args=[mix.pk]))
    assert panel.stages.count() == 3
    assert not panel.stages.exclude(mix=None).exists()


def test_a_studio_starts_with_a_pack_of_every_paint_once(anna):
    films = {key for key, binder in binders().items() if binder.leaves_film}
    assert set(anna.studio.supplies.values_list("binder", flat=True)) == films
    add_usual_supplies(anna.studio)
    assert anna.studio.supplies.count() == len(films)


@pytest.mark.parametrize("currency", sorted(COMMON_CURRENCIES))
def test_no_currency_starts_with_the_figures_of_another(currency, db):
    person = studio_of("Dry Ground", person="Dora", email="dora@example.org", currency=currency)
    prices = {supply.price for supply in person.studio.supplies.all()}
    if currency in ("CHF", "EUR", "GBP", "USD"):
        # A pack of paint costs between a coin and a few notes: common practice, no source.
        assert all(300 <= price <= 6000 for price in prices)
    else:
        assert prices == {None}


def test_a_price_to_be_typed_is_said_and_then_typed(at_desk, anna):
    Studio.objects.update(currency="JPY")
    assert "to be typed" in at_desk.get(reverse("supplies")).content.decode()
    supply = Supply.objects.of(anna.studio).first()
    path = reverse("supply-edit", args=[supply.pk])
    form = at_desk.get(path).context["form"]
    assert form["pack_price"].value() is None
    shown = {name: form[name].value() or "" for name in form.fields}
    shown |= {"spread_rate": "8.5", "waste": "10", "pack_price": ""}
    assert at_desk.post(path, shown).context["form"].errors == {
        "pack_price": ["This cannot stay empty."]
    }
    assert at_desk.post(path, {**shown, "pack_price": "3200"}).status_code == 302
    kept = Supply.objects.get(pk=supply.pk)
    assert (kept.price, kept.currency) == (3200, "JPY")


def test_she_types_her_own_price(at_desk, anna):
    supply = anna.studio.supplies.first()
    data = {"name": "Gesso", "spread_rate": "8.5", "waste": "10", "pack_ml": "1000"}
    data |= {"pack_price": "23.90", "seen_version": supply.version}
    assert at_desk.post(reverse("supply-edit", args=[supply.pk]), data).status_code == 302
    supply.refresh_from_db()
    assert (supply.pack_price, supply.pack_ml) == (2390, 1000)


def test_she_sees_how_thick_a_wet_coat_her_rate_means(at_desk, anna):
    # The identity of coating data sheets: 20 m2 a litre lie 50 microns thick (ISO 6504-3:2006).
    anna.studio.supplies.update(spread_rate=20)
    listed = at_desk.get(reverse("supplies")).content.decode()
    assert 'data-label="Wet coat, µm">50</td>' in listed
    supply = anna.studio.supplies.first()
    form = at_desk.get(reverse("supply-edit", args=[supply.pk])).content.decode()
    assert "A wet coat lies 50 µm thick" in form


@pytest.mark.parametrize(
    ("field", "typed"),
    [
        ("spread_rate", "0"),
        ("spread_rate", "51"),
        ("spread_rate", "NaN"),
        ("spread_rate", "inf"),
        ("waste", "101"),
        ("waste", "-1"),
        ("pack_ml", "0"),
        ("pack_ml", "99999999999999999999"),
        ("pack_price", "-1"),
        ("pack_price", "cheap"),
        ("pack_price", "1e30"),
    ],
)
def test_a_material_that_cannot_be_is_refused_beside_its_field(field, typed, at_desk, anna):
    supply = Supply.objects.of(anna.studio).first()
    data = {"name": "Gesso", "spread_rate": "8", "waste": "10", "pack_ml": "500", "pack_price": "9"}
    path = reverse("supply-edit", args=[supply.pk])
    response = at_desk.post(path, {**data, field: typed, "seen_version": supply.version})
    assert response.status_code == 422
    assert list(response.context["form"].errors) == [field]
