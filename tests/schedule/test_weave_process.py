"""The long search begun as the pages begin it: a process of its own on a database of its own."""

import time
from collections.abc import Callable, Iterator
from pathlib import Path

import pytest
from django.utils import timezone

from schedule.domain.weaving import claim, start_process
from studio.signals import hold_changes
from tests.cast import asked, panel_of, piece_of, studio_of, surface_of
from tests.copies import House, copied_house

PATIENCE = 60
"""Seconds after which a process that never came is given up."""


@pytest.fixture
def house(transactional_db, tmp_path: Path, settings, monkeypatch) -> Iterator[House]:
    """A house in which somebody has just asked for weaving."""
    anna = studio_of("The Blue Door", person="Anna", email="anna@example.org")
    surface = surface_of(piece_of(asked(anna.studio, agreed=True)))
    with hold_changes():
        for number in range(3):
            panel_of(surface, f"Panel {number}", left=2000 * number)
    held, _ = claim(anna.studio, now=timezone.now())
    with copied_house(tmp_path) as copy:
        settings.DATA_DIR, settings.WEAVING = copy.folder, True
        for name, value in copy.environment.items():
            monkeypatch.setenv(name, value)
        monkeypatch.setenv("WEAVE_STEPS", "40")
        start_process(anna.studio, held)
        yield copy


def until(true: Callable[[], int]) -> None:
    deadline = time.monotonic() + PATIENCE
    while not true():
        assert time.monotonic() < deadline
        time.sleep(0.1)


def test_a_process_of_its_own_weaves_on_the_settings_of_the_one_that_began_it(house):
    until(lambda: house.count("schedule_weaving", "state = 'done'"))
    assert house.count("schedule_weaving", "steps = 40 AND allowed = 40") == 1
    assert house.count("schedule_programme", "woven = work AND woven <> ''") == 1
