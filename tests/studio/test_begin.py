"""The first page of a new installation, and signing in."""

from uuid import uuid4

import pytest
from django.test import Client
from django.urls import reverse

from jobs.models import MethodSheet, Supply
from studio.models import Person, Studio
from tests.cast import PASSWORD

FIRST = {
    "name": "The Blue Door",
    "person_name": "Anna",
    "person_email": "Anna@example.org",
    "password": PASSWORD,
    "currency": "EUR",
    "unit": "cm",
    "locale": "de_AT",
    "time_zone": "Europe/Vienna",
    "hourly_cost": "42,50",
}


def test_a_new_installation_leads_from_any_page_to_the_first(client, db):
    response = client.get("/", follow=True)
    assert response.redirect_chain[-1][0] == reverse("begin")
    assert response.status_code == 200


def test_the_first_page_offers_a_currency_that_goes_with_its_time_zone(client, db):
    form = client.get(reverse("begin")).context["form"]
    assert (form["currency"].value(), form["time_zone"].value()) == ("GBP", "Europe/London")


def test_the_first_page_opens_a_studio_and_signs_its_painter_in(client, db):
    response = client.post(reverse("begin"), FIRST)
    assert response.status_code == 302
    studio = Studio.objects.get()
    assert (studio.name, studio.slug, studio.locale) == ("The Blue Door", "the-blue-door", "de_AT")
    assert studio.hourly_cost == 4250
    assert client.session["_auth_user_id"] == str(Person.objects.get().pk)


def test_a_new_studio_has_hours_method_sheets_and_materials_to_start_with(client, db):
    client.post(reverse("begin"), FIRST)
    studio = Studio.objects.get()
    assert studio.windows.count() == 10
    assert MethodSheet.objects.of(studio).count() >= 5
    assert all(sheet.stages.exists() for sheet in MethodSheet.objects.of(studio))
    assert Supply.objects.of(studio).exists()


@pytest.mark.parametrize(
    ("field", "typed"),
    [
        ("password", "short"),
        ("password", "password123456"),
        ("person_email", "anna"),
        ("hourly_cost", "forty"),
        ("hourly_cost", "-1"),
        ("time_zone", "Mars/Olympus"),
        ("currency", "ZZZ"),
        ("locale", "xx_XX"),
        ("name", ""),
    ],
)
def test_a_wrong_answer_on_the_first_page_is_said_and_the_rest_is_kept(field, typed, client, db):
    response = client.post(reverse("begin"), {**FIRST, field: typed})
    assert response.status_code == 422
    assert field in response.context["form"].errors
    assert not Studio.objects.exists()
    kept = "person_name" if field == "name" else "name"
    assert f'value="{FIRST[kept]}"' in response.content.decode()


def test_a_password_typed_in_vain_is_not_sent_back(client, db):
    page = client.post(reverse("begin"), {**FIRST, "currency": "ZZZ"}).content.decode()
    assert PASSWORD not in page


def test_the_first_page_is_closed_once_there_is_a_studio(client, anna):
    assert client.post(reverse("begin"), FIRST).status_code == 302
    assert Studio.objects.count() == 1


def test_a_double_click_on_the_first_page_opens_one_studio_and_signs_its_painter_in(client, db):
    page = client.get(reverse("begin"))
    once = str(page.context["once"])
    assert f'name="once" value="{once}"' in page.content.decode()
    browsers = [Client(), Client()]  # the second click knows nothing of the first one's answer
    for browser in browsers:
        assert browser.post(reverse("begin"), {**FIRST, "once": once}).url == reverse("home")
    assert Studio.objects.count() == Person.objects.count() == 1
    painter = str(Person.objects.get().pk)
    assert [browser.session.get("_auth_user_id") for browser in browsers] == [painter, painter]


def test_two_clicks_that_both_found_no_studio_open_one(client, db, monkeypatch):
    client.post(reverse("begin"), FIRST)
    looks = iter([False, True])
    monkeypatch.setattr(Studio.objects, "exists", lambda: next(looks))
    other = {**FIRST, "name": "The Red Door", "person_email": "other@example.org"}
    assert client.post(reverse("begin"), other).url == reverse("home")
    assert Studio.objects.count() == 1


@pytest.mark.parametrize("changed", [{"password": "another long sentence"}, {"once": str(uuid4())}])
def test_the_first_page_is_no_second_sign_in(changed, client, db):
    data = {**FIRST, "once": str(uuid4())}
    Client().post(reverse("begin"), data)
    client.post(reverse("begin"), {**data, **changed})
    assert "_auth_user_id" not in client.session


@pytest.mark.parametrize("typed", ["anna@example.org", "ANNA@Example.ORG", "Anna@example.org"])
def test_she_signs_in_with_her_email_in_any_case(typed, client, anna):
    response = client.post(reverse("sign-in"), {"username": typed, "password": PASSWORD})
    assert response.status_code == 302
    assert client.session["_auth_user_id"] == str(anna.pk)


@pytest.mark.parametrize(
    ("email", "password"), [("anna@example.org", "wrong"), ("nobody@example.org", PASSWORD)]
)
def test_a_wrong_sign_in_says_the_same_for_a_wrong_password_and_a_wrong_name(
    email, password, client, anna
):
    response = client.post(reverse("sign-in"), {"username": email, "password": password})
    assert response.status_code == 200
    assert "_auth_user_id" not in client.session
    errors = response.context["form"].non_field_errors()
    assert [error.lower() for error in errors] == [errors[0].lower()]
    assert "password" in errors[0]


def test_who_no_longer_belongs_to_the_studio_cannot_sign_in(client, berit):
    Person.objects.filter(pk=berit.pk).update(is_active=False)
    client.post(reverse("sign-in"), {"username": berit.email, "password": PASSWORD})
    assert "_auth_user_id" not in client.session


def test_the_sign_in_leads_to_no_other_host(client, anna):
    data = {"username": anna.email, "password": PASSWORD, "next": "https://elsewhere.example/"}
    assert client.post(reverse("sign-in"), data).url == reverse("home")


def test_signing_out_ends_it(at_desk):
    at_desk.post(reverse("sign-out"))
    assert "_auth_user_id" not in at_desk.session
