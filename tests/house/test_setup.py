"""The house as it is set up: migrations, deployment checks, and settings as documented."""

import os
import re
import subprocess
import sys
from pathlib import Path

import pytest
from django.core.management import call_command, get_commands

HOUSE = Path(__file__).resolve().parents[2]
SETTINGS = (HOUSE / "studio" / "settings.py").read_text(encoding="utf-8")
KNOWN = set(re.findall(r"env\.\w+\(\s*\"([A-Z_]+)\"", SETTINGS))


def test_models_and_migrations_agree(db):
    call_command("makemigrations", check=True, dry_run=True, verbosity=0)


def test_a_studio_on_the_net_passes_every_deployment_check(tmp_path):
    key = "".join(chr(33 + number) for number in range(60))
    given = {"HTTPS": "1", "SECRET_KEY": key, "SMTP_HOST": "mail.example.org"}
    done = subprocess.run(
        [sys.executable, "manage.py", "check", "--deploy", "--fail-level", "WARNING"],
        cwd=HOUSE,
        env={**os.environ, **given, "DATA_DIR": str(tmp_path)},
        capture_output=True,
        text=True,
        check=False,
    )
    assert done.returncode == 0, done.stderr


PAPERS = {
    page: (HOUSE / page).read_text(encoding="utf-8") for page in ("README.md", "DEVELOPERS.md")
}
"""The papers by their names; one that is gone fails here."""


def told(pattern: str, *pages: str) -> set[str]:
    """Return what the pages say by a pattern; none at all means that the test reads past them."""
    found = {match for page in pages for match in re.findall(pattern, PAPERS[page], re.M)}
    assert found, f"{pages} say nothing of the kind {pattern}."
    return found


def documented() -> set[str]:
    """Return the names in the first column of the table of settings in README.md."""
    return told(r"^\|\s*`([A-Z][A-Z_]+)`", "README.md")


@pytest.mark.parametrize("page", PAPERS)
def test_every_place_the_papers_point_to_is_there(page):
    rooms = r"`((?:studio|jobs|schedule|quotes|templates|tests|\.ci)/[\w./-]*)`"
    assert {place for place in told(rooms, page) if not (HOUSE / place).exists()} == set()


def test_every_command_the_papers_name_is_there():
    assert told(r"manage\.py ([a-z_]+)", *PAPERS) <= set(get_commands())


def test_the_settings_in_the_readme_are_those_there_are():
    assert KNOWN
    assert documented() == KNOWN


def test_every_picture_of_the_readme_is_there():
    pictures = told(r"!\[[^\]]*\]\(([^)]+)\)", "README.md")
    assert {picture for picture in pictures if not (HOUSE / picture).exists()} == set()
