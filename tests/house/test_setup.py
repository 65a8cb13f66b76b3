"""The house as it is set up: migrations, deployment checks, and settings as documented."""

import os
import re
import subprocess
import sys
from pathlib import Path

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


def documented() -> set[str]:
    """Return the names in the first column of the tables of README.md, where they are settings."""
    readme = HOUSE / "README.md"
    text = readme.read_text(encoding="utf-8") if readme.exists() else ""
    return set(re.findall(r"^\|\s*`([A-Z][A-Z_]+)`", text, re.M))


PAPERS = [page for page in (HOUSE / "README.md", HOUSE / "DEVELOPERS.md") if page.exists()]


def test_every_place_the_papers_point_to_is_there():
    rooms = r"`((?:studio|jobs|schedule|quotes|templates|tests|\.ci)/[\w./-]*)`"
    gone = {
        place
        for page in PAPERS
        for place in re.findall(rooms, page.read_text(encoding="utf-8"))
        if not (HOUSE / place).exists()
    }
    assert gone == set()


def test_every_command_the_papers_name_is_there():
    named = {
        command
        for page in PAPERS
        for command in re.findall(r"manage\.py ([a-z_]+)", page.read_text(encoding="utf-8"))
    }
    assert named <= set(get_commands())


def test_every_setting_in_the_readme_exists():
    assert documented() <= KNOWN


def test_every_setting_is_in_the_readme_once_it_has_a_table():
    assert not documented() or documented() >= KNOWN
