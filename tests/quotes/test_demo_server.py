"""The demo as a real process: it serves, stops cleanly, and says when its port is taken."""

import os
import signal
import socket
import subprocess
import sys
from collections.abc import Iterator
from io import StringIO
from pathlib import Path
from urllib.request import urlopen

import pytest
from django.core.management import CommandError, call_command

from studio.models import Studio
from tests.cast import studio_of
from tests.copies import House, copied_house

HOUSE = Path(__file__).resolve().parents[2]
SECONDS = 15


def free_port() -> int:
    with socket.socket() as probe:
        probe.bind(("127.0.0.1", 0))
        return probe.getsockname()[1]


@pytest.fixture
def house(transactional_db, tmp_path) -> Iterator[House]:
    """A house with a studio in it already, so that none has to be loaded."""
    studio_of("The Blue Door", person="Anna", email="anna@example.org")
    with copied_house(tmp_path) as copy:
        yield copy


def serve(house: House, port: int) -> subprocess.Popen:
    environment = {**os.environ, **house.environment, "PYTHONUNBUFFERED": "1"}
    return subprocess.Popen(
        [sys.executable, "manage.py", "demo", "--port", str(port)],
        cwd=HOUSE, env=environment, text=True, stdout=subprocess.PIPE, stderr=subprocess.PIPE,
        start_new_session=True,
    )  # fmt: skip


def test_it_answers_and_ends_at_the_interrupt_with_nothing_left_behind(house):
    port = free_port()
    process = serve(house, port)
    try:
        greeting = ""
        while "Stop with Ctrl-C" not in greeting:
            line = process.stdout.readline()
            assert line, process.stderr.read()
            greeting += line
        assert f"http://localhost:{port}/" in greeting
        with urlopen(f"http://127.0.0.1:{port}/sign-in/", timeout=SECONDS) as answer:
            assert answer.status == 200
        with pytest.raises(CommandError, match="taken"):
            call_command("demo", "--port", str(port))
        os.killpg(process.pid, signal.SIGINT)
        out, error = process.communicate(timeout=SECONDS)
    finally:
        if process.poll() is None:
            process.kill()
            process.communicate()
    assert (process.returncode, error) == (0, "")
    assert "Stopped" in out
    with pytest.raises(ProcessLookupError):
        os.killpg(process.pid, 0)
    with socket.socket() as probe:
        assert probe.connect_ex(("127.0.0.1", port)) != 0


@pytest.mark.parametrize("port", [-1, 65536, 10**9])
def test_a_port_that_cannot_be_is_said_in_one_line(port, db):
    with pytest.raises(CommandError) as refused:
        call_command("demo", port=port, stdout=StringIO())
    assert "\n" not in str(refused.value)
    assert not Studio.objects.exists()


def test_a_taken_port_is_said_in_one_line_before_anything_is_loaded(db):
    with socket.socket() as taken:
        taken.bind(("127.0.0.1", 0))
        taken.listen()
        port = taken.getsockname()[1]
        with pytest.raises(CommandError) as refused:
            call_command("demo", port=port, stdout=StringIO())
    assert f"Port {port} is taken" in str(refused.value)
    assert "--port" in str(refused.value)
    assert not Studio.objects.exists()
