"""What every form keeps: one record for a double click, and nothing typed is lost."""

from hashlib import sha256
from uuid import uuid4

import pytest
from django.urls import reverse

from jobs.models import Client
from studio.domain.records import keep_record, remove_record
from studio.models import Once
from studio.refusal import Refused, Stale
from tests.cast import PASSWORD, asked


@pytest.fixture
def clara(anna) -> Client:
    return keep_record(Client(studio=anna.studio, name="Clara"))


def test_a_double_click_makes_one_record(at_desk, anna):
    data = {"name": "Clara", "once": str(uuid4())}
    answers = [at_desk.post(reverse("client-new"), data) for _ in range(3)]
    assert [answer.url for answer in answers] == [reverse("clients")] * 3
    assert Client.objects.of(anna.studio).count() == 1


def test_a_form_drawn_anew_makes_another_record(at_desk, anna):
    for _ in range(2):
        once = at_desk.get(reverse("client-new")).context["once"]
        at_desk.post(reverse("client-new"), {"name": "Clara", "once": once})
    assert Client.objects.of(anna.studio).count() == 2


@pytest.mark.parametrize("once", [None, "", "nonsense", "1" * 500])
def test_a_form_without_a_sound_token_still_saves(once, at_desk, anna):
    data = {"name": "Clara"} if once is None else {"name": "Clara", "once": once}
    assert at_desk.post(reverse("client-new"), data).status_code == 302
    assert Client.objects.of(anna.studio).count() == 1


def test_a_refused_form_may_be_sent_again_with_its_token(at_desk, anna, clara):
    once = str(uuid4())
    stale = {"name": "Clara B.", "once": once, "seen_version": clara.version + 7}
    path = reverse("client-edit", args=[clara.pk])
    assert at_desk.post(path, stale).status_code == 422
    assert not Once.objects.exists()
    assert at_desk.post(path, {**stale, "seen_version": clara.version}).status_code == 302
    clara.refresh_from_db()
    assert clara.name == "Clara B."


def test_two_studios_may_send_the_same_token(client, anna, stranger):
    once = str(uuid4())
    for person in (anna, stranger):
        client.force_login(person)
        client.post(reverse("client-new"), {"name": "Clara", "once": once})
        assert Client.objects.of(person.studio).count() == 1


def test_a_wrong_answer_keeps_what_was_typed(at_desk, anna):
    data = {"name": "Clara", "email": "no address", "notes": "Rings after six"}
    response = at_desk.post(reverse("client-new"), data)
    page = response.content.decode()
    assert response.status_code == 422
    assert list(response.context["form"].errors) == ["email"]
    assert 'value="no address"' in page
    assert "Rings after six" in page
    assert not Client.objects.of(anna.studio).exists()


def test_a_bound_is_said_in_few_words(at_desk, record):
    sheet = reverse("step-new", args=[record.sheet.pk])
    for typed, sentence in (("0", "At least 1."), ("13", "At most 12.")):
        response = at_desk.post(sheet, {"kind": "prime", "coats": typed})
        assert response.context["form"].errors == {"coats": [sentence]}
    response = at_desk.post(reverse("client-new"), {"name": "C" * 500})
    most = Client._meta.get_field("name").max_length
    assert response.context["form"].errors == {"name": [f"At most {most} letters."]}


def test_what_was_typed_is_shown_as_text_not_as_markup(at_desk):
    data = {"name": "<script>alert(1)</script>", "email": "no"}
    page = at_desk.post(reverse("client-new"), data).content.decode()
    assert "<script>alert(1)" not in page
    assert "&lt;script&gt;alert(1)" in page


@pytest.mark.parametrize("thing", ["mix", "surface", "panel", "supply"])
def test_a_refused_form_leaves_what_its_page_tells_of_the_record_as_kept(thing, at_desk, record):
    kept = getattr(record, thing)
    answer = at_desk.post(reverse(f"{thing}-edit", args=[kept.pk]), {"name": "Typed in vain"})
    assert answer.status_code == 422
    assert answer.context["title"] == kept.name
    assert str(answer.context.get(thing, kept)) == kept.name


def test_a_stale_form_is_refused_and_what_was_typed_stays(at_desk, clara):
    path = reverse("client-edit", args=[clara.pk])
    seen = at_desk.get(path).context["form"]["seen_version"].value()
    at_desk.post(path, {"name": "Clara", "phone": "1", "seen_version": seen})
    response = at_desk.post(path, {"name": "Clara", "phone": "2", "seen_version": seen})
    assert response.status_code == 422
    assert 'value="2"' in response.content.decode()
    assert response.context["form"].errors["phone"] == ["It now reads ‘1’."]
    clara.refresh_from_db()
    assert clara.phone == "1"


def test_a_stale_form_saves_when_it_is_sent_once_more_on_purpose(at_desk, clara):
    path = reverse("client-edit", args=[clara.pk])
    at_desk.post(path, {"name": "Clara", "phone": "1", "seen_version": 1})
    stale = {"name": "Clara", "phone": "2", "seen_version": 1}
    form = at_desk.post(path, stale).context["form"]
    again = {**stale, "seen_version": form["seen_version"].value()}
    assert at_desk.post(path, again).status_code == 302
    clara.refresh_from_db()
    assert clara.phone == "2"


@pytest.mark.parametrize("seen", ["", "x", "-1", "1" * 40])
def test_a_meddled_version_loses_nothing(seen, at_desk, clara):
    path = reverse("client-edit", args=[clara.pk])
    response = at_desk.post(path, {"name": "Clara B.", "seen_version": seen})
    assert response.status_code in (302, 422)
    clara.refresh_from_db()
    assert clara.name == ("Clara B." if response.status_code == 302 else "Clara")


def test_a_record_gone_meanwhile_is_not_written_anew(clara):
    held = Client.objects.get(pk=clara.pk)
    remove_record(clara)
    with pytest.raises(Stale):
        keep_record(held, seen_version=held.version)
    assert not Client.objects.exists()


def test_removing_asks_first_and_then_removes(at_desk, clara):
    path = reverse("client-remove", args=[clara.pk])
    assert at_desk.get(path).status_code == 200
    assert Client.objects.filter(pk=clara.pk).exists()
    assert at_desk.post(path).url == reverse("clients")
    assert not Client.objects.filter(pk=clara.pk).exists()
    assert at_desk.post(path).status_code == 404


def test_a_page_that_asks_first_carries_a_token(at_desk, clara):
    page = at_desk.get(reverse("client-remove", args=[clara.pk]))
    assert f'name="once" value="{page.context["once"]}"' in page.content.decode()


def test_an_answer_kept_tells_nothing_of_a_password(at_desk):
    data = {"name": "Dora", "email": "dora@example.org", "password": PASSWORD, "once": str(uuid4())}
    at_desk.post(reverse("person-new"), data)
    del data["once"]
    kept = Once.objects.get()
    sent = sorted((name, [value]) for name, value in {**data, "once": str(kept.token)}.items())
    guess = repr((reverse("person-new"), sent, []))
    assert kept.digest != sha256(guess.encode()).hexdigest()


def test_a_client_with_a_commission_is_kept_and_the_page_says_why(at_desk, anna):
    client = asked(anna.studio).client
    response = at_desk.post(reverse("client-remove", args=[client.pk]))
    assert response.status_code == 422
    assert "has a commission" in response.content.decode()
    assert Client.objects.filter(pk=client.pk).exists()
    with pytest.raises(Refused, match="has a commission"):
        remove_record(client)
