"""What a studio keeps on the disk is nobody else's to read, and its secret outlives a crash."""

import os
import stat
import subprocess
import sys
from pathlib import Path
from threading import Barrier, Thread

from studio.keeping import kept_secret

HOUSE = Path(__file__).resolve().parents[2]
KEEPER = """
import django
django.setup()
from django.core.files.base import ContentFile
from django.core.files.storage import default_storage
from django.core.mail import send_mail
from django.db import connection
connection.cursor().execute("CREATE TABLE thing (name text)")
default_storage.save("panels/photo.jpg", ContentFile(b"a picture"))
send_mail("Dry", "The first coat", None, ["anna@example.org"])
"""


def test_nobody_else_on_the_machine_can_read_what_is_kept(tmp_path):
    data = tmp_path / "data"
    given = {"DATA_DIR": str(data), "SECRET_KEY": "", "SMTP_HOST": ""}
    given["DATABASE_URL"] = f"sqlite:///{data}/studio.sqlite3"
    given["DJANGO_SETTINGS_MODULE"] = "studio.settings"
    done = subprocess.run(
        [sys.executable, "-c", KEEPER], cwd=HOUSE, env={**os.environ, **given}, umask=0o022,
        capture_output=True, text=True, check=False,
    )  # fmt: skip
    assert done.returncode == 0, done.stderr
    kept = [data, *data.rglob("*")]
    modes = {thing: stat.S_IMODE(thing.stat().st_mode) for thing in kept}
    assert {".sqlite3", ".jpg", ".log"} <= {thing.suffix for thing in kept}
    assert data / "secret-key" in kept
    assert {mode for thing, mode in modes.items() if thing.is_dir()} == {0o700}
    assert {mode for thing, mode in modes.items() if thing.is_file()} == {0o600}


def test_the_secret_is_made_once(tmp_path):
    assert len(kept_secret(tmp_path)) >= 50
    assert kept_secret(tmp_path) == kept_secret(tmp_path)


def test_a_secret_left_empty_by_a_crash_is_made_anew(tmp_path):
    (tmp_path / "secret-key").touch()
    assert len(kept_secret(tmp_path)) >= 50


def test_a_crash_while_the_secret_is_written_leaves_none_or_a_whole_one(tmp_path, monkeypatch):
    seen = []

    def look(*_):
        seen.append((tmp_path / "secret-key").exists())

    monkeypatch.setattr(os, "fsync", look)
    kept_secret(tmp_path)
    assert seen == [False]
    assert [file.name for file in tmp_path.iterdir()] == ["secret-key"]


def test_two_processes_that_start_together_share_one_secret(tmp_path, monkeypatch):
    together, got = Barrier(2), []
    monkeypatch.setattr(os, "fsync", lambda _: together.wait(timeout=10))
    starts = [Thread(target=lambda: got.append(kept_secret(tmp_path))) for _ in range(2)]
    for start in starts:
        start.start()
    for start in starts:
        start.join()
    assert len(got) == 2
    assert len(set(got)) == 1
