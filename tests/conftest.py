"""The fixed cast: Anna owns a studio, Berit works in it, a stranger has a studio of her own."""

from datetime import UTC, datetime
from types import SimpleNamespace

import pytest
from django.db import connection
from django.test import Client
from django.utils import timezone
from hypothesis import settings as hypothesis_settings

from studio.models import Person
from tests.cast import PASSWORD, everything, studio_of

# A busy machine is no fault of the code: how long one example takes is measured elsewhere.
hypothesis_settings.register_profile("house", deadline=None, max_examples=40)
hypothesis_settings.load_profile("house")

ONLY_ON = {
    "sqlite": ["house/test_on_sqlite.py"],
    "postgresql": ["house/test_on_postgres.py"],
}
"""Tests of one database's own promises."""
collect_ignore = [
    path for vendor, paths in ONLY_ON.items() if vendor != connection.vendor for path in paths
]


@pytest.fixture(autouse=True)
def swift_and_tidy(request):
    """Hash passwords quickly, begin no process, and keep photographs out of the studio's folder."""
    if "db" in request.fixturenames or "transactional_db" in request.fixturenames:
        settings = request.getfixturevalue("settings")
        settings.PASSWORD_HASHERS = ["django.contrib.auth.hashers.MD5PasswordHasher"]
        settings.WEAVING = False
        settings.MEDIA_ROOT = request.getfixturevalue("tmp_path") / "photos"


@pytest.fixture
def anna(db) -> Person:
    return studio_of("The Blue Door", person="Anna", email="anna@example.org")


@pytest.fixture
def berit(anna) -> Person:
    person = Person(studio=anna.studio, name="Berit", email="berit@example.org")
    person.set_password(PASSWORD)
    person.save()
    return person


@pytest.fixture
def stranger(db) -> Person:
    return studio_of("Elsewhere", person="Cato", email="cato@example.net")


@pytest.fixture
def at_desk(client: Client, anna) -> Client:
    """A browser in which Anna is signed in."""
    client.force_login(anna)
    return client


@pytest.fixture
def record(anna):
    """One of everything there is in Anna's studio."""
    return everything(anna, now=timezone.now())


@pytest.fixture
def clock(monkeypatch) -> SimpleNamespace:
    """The time of day as the app reads it: Monday, 2 November 2026, 09:00; set `now` to move."""
    time = SimpleNamespace(now=datetime(2026, 11, 2, 9, tzinfo=UTC))
    monkeypatch.setattr(timezone, "now", lambda: time.now)
    return time
