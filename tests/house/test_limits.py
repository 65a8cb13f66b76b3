"""Nothing grows too big to be read in one go."""

import ast
from pathlib import Path

import pytest

HOUSE = Path(__file__).resolve().parents[2]
ROOMS = ("studio", "jobs", "schedule", "quotes", "tests")
CODE = [
    HOUSE / "manage.py",
    *(path for room in ROOMS for path in sorted((HOUSE / room).rglob("*.py"))),
]
PAGES = sorted((HOUSE / "templates").rglob("*.*"))


def lines(path: Path) -> int:
    return len(path.read_text(encoding="utf-8").splitlines())


def test_no_file_is_longer_than_four_hundred_lines():
    assert {str(path.relative_to(HOUSE)): lines(path) for path in CODE if lines(path) > 400} == {}


def test_no_function_is_longer_than_fifty_lines():
    long = {}
    for path in CODE:
        for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
            if isinstance(node, ast.FunctionDef | ast.AsyncFunctionDef):
                length = node.end_lineno - node.lineno + 1
                if length > 50:
                    long[f"{path.relative_to(HOUSE)}:{node.name}"] = length
    assert long == {}


def test_no_template_is_longer_than_a_hundred_and_fifty_lines():
    assert {str(path.relative_to(HOUSE)): lines(path) for path in PAGES if lines(path) > 150} == {}


@pytest.mark.parametrize("mark", ["TODO", "FIXME", "XXX"])
def test_nothing_is_left_for_later(mark):
    here = Path(__file__).resolve()
    left = [
        str(path.relative_to(HOUSE))
        for path in [*CODE, *PAGES]
        if path != here and mark in path.read_text(encoding="utf-8")
    ]
    assert left == []
