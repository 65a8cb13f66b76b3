"""An app does not reach to its right through the back of a relation either.

import-linter sees imports; `commission.estimates` needs none, so it is looked for by name.
"""

import ast
from pathlib import Path

import pytest
from django.apps import apps

HOUSE = Path(__file__).resolve().parents[2]
ORDER = ("studio", "jobs", "schedule", "quotes")


def reverse_names(app: str) -> set[str]:
    """Return the names by which apps to the right are reached from the models of `app`."""
    right = ORDER[ORDER.index(app) + 1 :]
    return {
        relation.get_accessor_name()
        for model in apps.get_app_config(app).get_models()
        for relation in model._meta.related_objects
        if relation.related_model._meta.app_label in right
    }


def reached(app: str, names: set[str]) -> list[str]:
    """Return where the code of `app` reads one of the names as an attribute."""
    found = []
    for path in sorted((HOUSE / app).rglob("*.py")):
        for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
            if isinstance(node, ast.Attribute) and node.attr in names:
                found.append(f"{path.relative_to(HOUSE)}:{node.lineno}: .{node.attr}")
    return found


@pytest.mark.parametrize("app", ORDER[:-1])
def test_no_app_reads_what_stands_to_its_right(app):
    names = reverse_names(app)
    # A name that a model of the app itself bears too is its own.
    own = {
        field.name
        for model in apps.get_app_config(app).get_models()
        for field in model._meta.fields
    } | {
        relation.get_accessor_name()
        for model in apps.get_app_config(app).get_models()
        for relation in model._meta.related_objects
        if relation.related_model._meta.app_label == app
    }
    assert reached(app, names - own) == []


def test_the_names_are_found():
    assert {"commissions", "reminders", "sittings"} <= reverse_names("studio")
    assert {"estimates", "planned_sittings", "reminders"} <= reverse_names("jobs")
    assert reached("quotes", {"estimates"}), "quotes reads its own"
