"""What pages may not contain: anything a strict content security policy would stop."""

import re
from pathlib import Path

import pytest

HOUSE = Path(__file__).resolve().parents[2]
PAGES = sorted((HOUSE / "templates").rglob("*.html"))
CODE = [
    path
    for room in ("studio", "jobs", "schedule", "quotes")
    for path in sorted((HOUSE / room).rglob("*.py"))
]
FORBIDDEN = {
    "a script written into the page": re.compile(r"<script(?![^>]*\bsrc=)", re.I),
    "a style sheet written into the page": re.compile(r"<style\b", re.I),
    "a style attribute": re.compile(r"<[^>]*\sstyle\s*=", re.I),
    "an event handler attribute": re.compile(r"<[^>]*\son[a-z]+\s*=", re.I),
    "a script address": re.compile(r"javascript:", re.I),
    "script evaluated by htmx": re.compile(r"\bhx-(on|vals\s*=\s*[\"']js:)", re.I),
    "unescaped text": re.compile(r"\|\s*safe\b|autoescape\s+off|safeseq"),
    "something from another host": re.compile(r"(src|href)\s*=\s*[\"'](https?:)?//", re.I),
}


@pytest.mark.parametrize("what", FORBIDDEN)
def test_no_page_contains(what):
    found = [
        str(page.relative_to(HOUSE))
        for page in PAGES
        if FORBIDDEN[what].search(page.read_text(encoding="utf-8"))
    ]
    assert found == []


def test_the_rule_itself_finds_what_it_forbids():
    bad = '<p style="x" onclick="y"><script>1</script>{{ a|safe }}<a href="https://b">'
    for what in ("a script written into the page", "a style attribute", "unescaped text"):
        assert FORBIDDEN[what].search(bad)
    assert FORBIDDEN["an event handler attribute"].search(bad)
    assert FORBIDDEN["something from another host"].search(bad)
    assert not FORBIDDEN["a script written into the page"].search('<script src="/a.js" defer>')


def test_no_code_marks_text_as_safe():
    found = [str(p.relative_to(HOUSE)) for p in CODE if "mark_safe" in p.read_text("utf-8")]
    assert found == []
