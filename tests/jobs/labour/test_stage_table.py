from collections.abc import Callable
from pathlib import Path

import pytest

from jobs.labour import methods, stages

PAINT = """
[[stage]]
key = "dab"
name = "Dab"
client = "dabbed"
binder = "acrylic"
gate = "recoat"
set_up = 10
fixed = 5
per_dm2 = 1
shortest = 15
longest = 60
is_coat = true
order = 10
source = "common practice, no source"
"""
SHEET = """
[[method]]
key = "dabbed"
name = "Dabbed"
source = "common practice, no source"
stages = []
"""


def read(loader: Callable[[], object], tmp_path: Path, name: str, content: str) -> object:
    (tmp_path / name).write_text(content, encoding="utf-8")
    return loader.__wrapped__()  # type: ignore[attr-defined]


@pytest.mark.parametrize(
    ("good", "bad", "complaint"),
    [
        ("fixed = 5\nper_dm2 = 1", "fixed = 0\nper_dm2 = 0", "a stage needs hands-on time"),
        ("shortest = 15", "shortest = 90", "longest must exceed the set-up"),
        ("set_up = 10", "set_up = 60", "longest must exceed the set-up"),
        ("is_coat = true", "is_coat = false", "disagree on whether a film is left"),
        ('binder = "acrylic"', 'binder = "tar"', "'tar' is none of"),
        ('gate = "recoat"', 'gate = "soon"', "'soon' is none of"),
        ("order = 10", 'order = 10\nrole = "gold"', "'gold' is none of"),
        ("order = 10", 'order = 10\ncautions = ["gilding"]', "'gilding' is none of"),
        ("order = 10", "order = 10\ncoats = 13", "13 is not between 1 and 12"),
    ],
)
def test_a_stage_that_makes_no_sense_is_refused_by_name(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, good: str, bad: str, complaint: str
) -> None:
    monkeypatch.setattr(stages, "DATA", tmp_path)
    assert read(stages.stage_kinds, tmp_path, "stages.toml", PAINT)
    with pytest.raises(ValueError, match=rf"stages\.toml, .*dab.*{complaint}"):
        read(stages.stage_kinds, tmp_path, "stages.toml", PAINT.replace(good, bad))


@pytest.mark.parametrize(
    ("content", "complaint"),
    [
        ("stages = []", "a method needs stages"),
        ('stages = [{ kind = "gild" }]', "'gild' is none of"),
        ('stages = [{ kind = "sand", colour = "red" }]', "unknown column colour"),
    ],
)
def test_a_method_that_makes_no_sense_is_refused_by_name(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, content: str, complaint: str
) -> None:
    monkeypatch.setattr(methods, "DATA", tmp_path)
    sheet = SHEET.replace("stages = []", content)
    with pytest.raises(ValueError, match=rf"methods\.toml, row 1 \(dabbed\): .*{complaint}"):
        read(methods.method_sheets, tmp_path, "methods.toml", sheet)
