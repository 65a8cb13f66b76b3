"""Apps import only to their left, and engines know nothing of the framework."""

from pathlib import Path

from importlinter.cli import lint_imports

HOUSE = Path(__file__).resolve().parents[2]


def test_the_import_contracts_hold(monkeypatch, capsys):
    monkeypatch.chdir(HOUSE)
    broken = lint_imports(config_filename="pyproject.toml", no_cache=True, no_logo=True)
    assert not broken, capsys.readouterr().out
