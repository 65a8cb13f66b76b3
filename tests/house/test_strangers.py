"""Every address, walked as nobody, as a stranger, as a team mate, and with absurd keys.

The addresses are read from the project itself: a new one is walked from its first day.
"""

import re
from dataclasses import dataclass
from uuid import uuid4

import pytest
from django.apps import apps
from django.contrib.sessions.models import Session
from django.urls import URLPattern, get_resolver, reverse

OPEN = {"begin", "sign-in", "feed"}
"""Addresses that ask for no sign-in: the first page, the sign-in, the secret calendar link."""
REFUSALS = {404, 405}
PARAMETER = re.compile(r"([\w-]+)/<(?:(\w+):)?(\w+)>")


@dataclass(frozen=True)
class Address:
    """An address by name; `slots` are (parameter, converter, the word before it)."""

    name: str
    slots: tuple[tuple[str, str, str], ...]

    @property
    def keyed(self) -> bool:
        return any(kind == "int" for _, kind, _ in self.slots)


def addresses(resolver=None, before: str = "") -> list[Address]:
    found = []
    for pattern in (resolver or get_resolver()).url_patterns:
        route = before + str(pattern.pattern)
        if not isinstance(pattern, URLPattern):
            found += addresses(pattern, route)
            continue
        assert pattern.name, f"The address {route} has no name."
        slots = tuple(
            (parameter, kind or "str", word) for word, kind, parameter in PARAMETER.findall(route)
        )
        assert len(slots) == route.count("<"), f"Say in this test how {route} is to be read."
        found.append(Address(pattern.name, slots))
    return found


ADDRESSES = addresses()
KEYED = [address for address in ADDRESSES if address.keyed]
PRIVATE = [address for address in ADDRESSES if address.name not in OPEN]


def keys_of(record) -> dict[str, object]:
    """Return a real key by (word before it in the address, parameter)."""
    reminder = record.studio.reminders.first()
    return {
        ("clients", "pk"): record.client.pk,
        ("commissions", "number"): record.commission.number,
        ("pieces", "pk"): record.piece.pk,
        ("pieces", "piece"): record.piece.pk,
        ("surfaces", "pk"): record.surface.pk,
        ("surfaces", "surface"): record.surface.pk,
        ("panels", "pk"): record.panel.pk,
        ("panels", "panel"): record.panel.pk,
        ("stages", "pk"): record.stage.pk,
        ("stages", "stage"): record.stage.pk,
        ("sittings", "pk"): record.sitting.pk,
        ("touch-tests", "pk"): record.touch_test.pk,
        ("photos", "pk"): record.photo.pk,
        ("methods", "pk"): record.sheet.pk,
        ("methods", "sheet"): record.sheet.pk,
        ("mixes", "pk"): record.mix.pk,
        ("materials", "pk"): record.supply.pk,
        ("hours", "pk"): record.window.pk,
        ("days-off", "pk"): record.day_off.pk,
        ("people", "pk"): record.person.pk,
        ("dated-hours", "pk"): record.dated_hours.pk,
        ("planned", "pk"): record.studio.planned_sittings.first().pk,
        ("fixed", "pk"): record.pin.pk,
        ("reminders", "pk"): reminder.pk if reminder else None,
        ("calendar", "secret"): record.studio.feed_secret,
        ("estimate", "issue"): record.estimate.issue,
        ("lines", "key"): "contingency",
        ("extra-lines", "pk"): record.extra.pk,
        ("move", "way"): "down",
        ("keep", "way"): "lighter",
        ("paint", "table"): "binders",
        ("own", "row"): "gesso",
    }


def path_to(address: Address, record, *, every_int: int | None = None) -> str:
    keys = keys_of(record)
    if address.name.startswith("step-"):
        keys["stages", "pk"] = record.step.pk
    given = {}
    for parameter, kind, word in address.slots:
        assert (word, parameter) in keys, (
            f"‘{address.name}’ is a new address: add a real key for ‘{word}/<{parameter}>’ to "
            "keys_of() in this test."
        )
        absurd = every_int is not None and kind == "int"
        given[parameter] = every_int if absurd else keys[word, parameter]
        assert given[parameter] is not None, f"There is no record behind ‘{word}/<{parameter}>’."
    return reverse(address.name, kwargs=given)


def everything_kept() -> dict[str, list]:
    """Return all rows of all tables, but for who is signed in."""
    return {
        model._meta.label: list(model.objects.order_by("pk").values())
        for model in apps.get_models()
        if model is not Session
    }


def test_the_walk_finds_the_addresses():
    names = {address.name for address in ADDRESSES}
    assert {"home", "commission", "panel-edit", "window-remove", "bench"} <= names
    assert len(names) == len(ADDRESSES)


def test_nobody_is_led_to_the_sign_in(client, record):
    before = everything_kept()
    for address in PRIVATE:
        path = path_to(address, record)
        for response in (client.get(path), client.post(path)):
            assert response.status_code == 302, f"{address.name} is open to anybody."
            assert response.url.startswith(reverse("sign-in")), address.name
    assert everything_kept() == before


def test_a_stranger_finds_nothing_and_changes_nothing(client, record, stranger):
    client.force_login(stranger)
    before = everything_kept()
    for address in KEYED:
        path = path_to(address, record)
        answers = {client.get(path).status_code, client.post(path).status_code}
        assert answers <= REFUSALS, f"{address.name} answered a stranger with {answers}."
        assert 404 in answers, f"{address.name} answered a stranger with {answers}."
    assert everything_kept() == before


REMOVALS = [address for address in KEYED if address.name.endswith("-remove")]


def test_a_second_click_on_remove_lands_where_the_first_did(client, record, stranger, anna, berit):
    removed = set()
    # From the end of the alphabet, so that a touch test goes before its sitting.
    for address in sorted(REMOVALS, key=lambda address: address.name, reverse=True):
        client.force_login(anna)
        record.person = berit if address.name == "person-remove" else anna
        path, click = path_to(address, record), {"once": str(uuid4())}
        first = client.post(path, click)
        if first.status_code == 422:
            continue
        removed.add(address.name)
        second = client.post(path, click)
        assert second.status_code == 302, address.name
        assert second.url == first.url
        assert "done already" in client.get(second.url, follow=True).content.decode()
        assert client.post(path, {"once": str(uuid4())}).status_code == 404, address.name
        client.force_login(stranger)
        assert client.post(path, click).status_code == 404, address.name
    assert removed >= {
        "day-off-remove", "extra-remove", "mix-remove", "person-remove", "photo-remove",
        "sheet-remove", "sitting-remove", "step-remove", "touch-test-remove", "window-remove",
    }  # fmt: skip


def test_a_stranger_may_not_name_our_records_in_her_own_forms(client, record, stranger):
    client.force_login(stranger)
    data = {"client": record.client.pk, "title": "Taken"}
    assert client.post(reverse("commission-new"), data).status_code != 200
    assert client.get(reverse("commission-new"), {"client": record.client.pk}).status_code in (
        302,
        404,
    )
    assert stranger.studio.commissions.count() == 0


@pytest.mark.parametrize("key", [0, 10**30, 2**63])
def test_an_absurd_key_finds_nothing(key, at_desk, record):
    for address in KEYED:
        path = path_to(address, record, every_int=key)
        answers = {at_desk.get(path).status_code, at_desk.post(path).status_code}
        assert answers <= REFUSALS, f"{address.name} answered the key {key} with {answers}."


@pytest.mark.parametrize("secret", ["", "wrong", "x" * 300])
def test_a_wrong_calendar_link_finds_nothing(secret, client, record):
    assert client.get(f"/calendar/{secret}.ics").status_code == 404


def test_a_team_mate_may_open_every_page(client, record, berit):
    client.force_login(berit)
    for address in ADDRESSES:
        answer = client.get(path_to(address, record))
        list(answer)  # read to its end, as a browser does, so that a file is closed
        assert answer.status_code in (200, 302, 405), f"{address.name}: {answer.status_code}"


def test_every_list_of_choices_opens_in_our_words(at_desk, record):
    asked = 0
    for address in ADDRESSES:
        answer = at_desk.get(path_to(address, record))
        page = b"".join(answer).decode(errors="replace")
        asked += page.count("choose a sheet") + page.count("choose one")
        assert not re.search(r"<option[^>]*>\s*(-|Select)", page), address.name
    assert asked >= 2


def test_a_get_changes_nothing(at_desk, record):
    before = everything_kept()
    for address in ADDRESSES:
        list(at_desk.get(path_to(address, record)))
    assert everything_kept() == before
