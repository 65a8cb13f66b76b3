"""A planning problem refuses nonsense and names the item at fault."""

from collections.abc import Callable
from datetime import UTC, datetime, timedelta

import pytest

from schedule.engine.calendar import Window
from schedule.engine.problem import Commission, Gate, Panel, Person, Problem, Task

NOW = datetime(2026, 6, 1, tzinfo=UTC)
HOUR = timedelta(hours=1)


def task(key: str = "paint", minutes: int = 60, begun_by: str = "") -> Task:
    return Task(key, minutes, 45, 210, begun_by=begun_by)


def problem(*panels: Panel, slot: timedelta = timedelta(minutes=15)) -> Problem:
    people = (Person("ana", ()),)
    return Problem(NOW, people, (Commission("chest"),), panels, slot)


@pytest.mark.parametrize(
    ("build", "words"),
    [
        (lambda: Gate("recoat", -HOUR), "Gate 'recoat': a wait cannot be less than nothing"),
        (lambda: Gate("cured", timedelta(days=10**6)), "Gate 'cured': a wait of over ten years"),
        (lambda: Task("", 60, 45, 210), "A task needs a key"),
        (lambda: task(minutes=-1), "Task 'paint': the minutes left cannot be less"),
        (lambda: Task("paint", 60, 0, 210), "Task 'paint': the shortest sitting"),
        (lambda: Task("paint", 60, 90, 60), "Task 'paint': the longest sitting, 60 min, is short"),
        (lambda: task(minutes=0, begun_by="ana"), "Task 'paint': a sitting at work has at least"),
        (lambda: Commission("chest", weight=0), "Commission 'chest': the weight"),
        (lambda: Commission("chest", datetime(2026, 6, 1)), "Commission 'chest': the wanted"),  # noqa: DTZ001
        (lambda: Panel("door", "chest", (task(), task())), "tasks of panel 'door' have the same"),
        (
            lambda: Panel("door", "chest", (task("a"), task("b", begun_by="ana"))),
            "Panel 'door': only its first task can be begun, not 'b'",
        ),
        (
            lambda: Person("ana", (Window(NOW, NOW + HOUR), Window(NOW + HOUR, NOW + 2 * HOUR))),
            "Person 'ana': the windows must be in order and apart",
        ),
        (lambda: problem(slot=timedelta(seconds=90)), "A slot is whole minutes"),
        (lambda: problem(slot=timedelta(0)), "A slot is whole minutes"),
        (lambda: problem(Panel("door", "box", ())), "'door' is of an unknown commission 'box'"),
        (
            lambda: problem(Panel("door", "chest", ()), Panel("door", "chest", ())),
            "Two panels have the same key 'door'",
        ),
        (
            lambda: problem(Panel("door", "chest", (task(begun_by="bea"),))),
            "Panel 'door' was begun by 'bea', who is unknown",
        ),
        (
            lambda: problem(
                Panel("door", "chest", (task(begun_by="ana"),)),
                Panel("side", "chest", (task(begun_by="ana"),)),
            ),
            "'ana' cannot be at work on panels 'door' and 'side' at once",
        ),
        (
            lambda: Problem(datetime(2026, 6, 1), (), (), ()),  # noqa: DTZ001
            "The present must be an aware datetime in UTC",
        ),
    ],
)
def test_nonsense_is_refused_by_name(build: Callable[[], object], words: str) -> None:
    with pytest.raises(ValueError, match=words):
        build()


def test_a_sound_problem_is_accepted() -> None:
    sound = problem(Panel("door", "chest", (task(begun_by="ana"),)), Panel("side", "chest", ()))
    assert [panel.key for panel in sound.panels] == ["door", "side"]
