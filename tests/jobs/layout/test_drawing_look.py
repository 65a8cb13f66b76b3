"""How a drawing comes on to the page: its template and its style sheet."""

import re
from pathlib import Path as File
from xml.etree import ElementTree

import pytest
from django.template import Context, Engine

from jobs.layout.drawing import ROLES, Drawing, Label, Path, box, number

ROOT = File(__file__).resolve().parents[3]
CSS = (ROOT / "studio/static/studio/drawing.css").read_text(encoding="utf-8")
TEMPLATE = (ROOT / "templates/drawing.svg.html").read_text(encoding="utf-8")


def rendered(drawing: Drawing) -> ElementTree.Element:
    text = Engine().from_string(TEMPLATE).render(Context({"drawing": drawing}))
    return ElementTree.fromstring(text.strip())


def square(**more) -> Path:
    return Path(box(0, 0, 1234.5, 20), "panel", **more)


@pytest.mark.parametrize("role", sorted(ROLES))
def test_every_role_has_a_look(role):
    assert re.search(rf"\.role-{role}(?![\w-])", CSS)


def test_every_look_has_a_role():
    assert set(re.findall(r"\.role-([a-z-]+)", CSS)) == set(ROLES)


def test_a_fill_of_its_own_is_never_painted_over_by_a_style():
    taking = ("panel", "coat-done", "coat-drying", "coat-working")
    for selectors, body in re.findall(r"([^{}]+)\{([^{}]*)\}", CSS):
        for role in taking:
            if re.search(rf"\.role-{role}(?![\w-])", selectors):
                assert not re.search(r"(?<![\w-])fill\s*:", body)


def test_numbers_have_a_full_stop_whatever_the_language():
    drawing = Drawing(12345.678, 10, (square(), Label(1.25, 2, "Rose", "label", size=1300.5)))
    svg = rendered(drawing)
    assert svg.get("viewBox") == "0 0 12345.68 10"
    assert svg.find("path").get("d") == "M0 0 L1234.5 0 L1234.5 20 L0 20 Z"
    text = svg.find("text")
    assert (text.get("x"), text.get("font-size")) == ("1.25", "1300.5")


def test_a_picture_without_links_is_one_image_with_its_words():
    svg = rendered(Drawing(10, 10, (square(),), title="Coats & wood"))
    assert (svg.get("role"), svg.get("aria-label")) == ("img", "Coats & wood")


def test_links_in_a_picture_can_be_reached_and_say_where_they_lead():
    svg = rendered(Drawing(10, 10, (square(title="A Rose", link="/panels/1/"),)))
    assert svg.get("role") == "group"
    link = svg.find("a")
    assert (link.get("href"), link.get("aria-label")) == ("/panels/1/", "A Rose")
    assert link.find("path/title").text == "A Rose"


def test_names_typed_by_a_person_are_escaped():
    name = '"><script>alert(1)</script>'
    svg = rendered(Drawing(10, 10, (square(title=name), Label(0, 0, name, "label")), title=name))
    assert svg.find("text").text == name
    assert not svg.findall(".//script")


def test_the_template_carries_nothing_a_strict_policy_would_refuse():
    assert not re.search(r"<script|<style|\sstyle=|\son\w+=", TEMPLATE)


@pytest.mark.parametrize(
    ("value", "text"), [(0, "0"), (-0.001, "0"), (100, "100"), (2.5, "2.5"), (1 / 3, "0.33")]
)
def test_numbers_are_short(value, text):
    assert number(value) == text
