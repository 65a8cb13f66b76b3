"""What only rows held by the database can promise: collected only where it is PostgreSQL."""

from threading import Event, Thread

import pytest
from django.db import connection, transaction

from studio.domain.records import hold_studio

pytestmark = pytest.mark.django_db(transaction=True)
PATIENCE = 10
"""Seconds after which a thread that never came is given up."""


def held_by_another(studio, act) -> list[str]:
    """Run `act` in a thread while this one holds `studio`; return what happened in order."""
    told, coming = [], Event()

    def other() -> None:
        try:
            with transaction.atomic():
                coming.set()
                act()
            told.append("the other went on")
        finally:
            connection.close()

    with transaction.atomic():
        hold_studio(studio)
        thread = Thread(target=other)
        thread.start()
        assert coming.wait(PATIENCE)
        thread.join(0.3)
        told.append("the first was done")
    thread.join(PATIENCE)
    assert not thread.is_alive()
    return told


def test_two_changes_of_one_studio_pass_one_at_a_time(anna):
    order = held_by_another(anna.studio, lambda: hold_studio(anna.studio))
    assert order == ["the first was done", "the other went on"]


def test_a_change_of_another_studio_need_not_wait(anna, stranger):
    order = held_by_another(anna.studio, lambda: hold_studio(stranger.studio))
    assert order == ["the other went on", "the first was done"]


def test_a_record_of_a_studio_can_be_added_while_its_work_is_held(anna):
    """A row that only refers to the studio waits for nothing: the lock is not of its key."""

    def add() -> None:
        anna.studio.windows.create(weekday=5, start="09:00", end="12:00")

    order = held_by_another(anna.studio, add)
    assert order == ["the other went on", "the first was done"]
