"""The app as a user starts it: manage.py demo, a process and a data folder of its own."""

import os
import signal
import socket
import subprocess
import sys
import time
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from pathlib import Path

from playwright.sync_api import Browser, Playwright

HOUSE = Path(__file__).resolve().parents[2]
CHROMIUM = Path(os.environ.get("CHROMIUM", "/usr/bin/chromium"))
QUIET = [
    "--no-sandbox",
    "--disable-gpu",
    "--disable-quic",
    "--no-first-run",
    "--disable-background-networking",
    "--disable-component-update",
    "--disable-sync",
    "--disable-dev-shm-usage",
]
READY = "Stop with Ctrl-C."
OTHERWISE_SET = ("DATABASE_URL", "SMTP_HOST", "HTTPS", "SITE_URL", "ALLOWED_HOSTS", "DEBUG")
LONGEST_START = 90
LONGEST_STOP = 45


@dataclass(frozen=True)
class RunningApp:
    """A started app: its address, its data folder, and the file its words go to."""

    address: str
    data: Path
    said: Path

    @property
    def mail(self) -> Path:
        return self.data / "mail"

    def manage(self, *words: str) -> str:
        """Run a management command beside the running app and return what it printed."""
        done = subprocess.run(
            [sys.executable, "manage.py", *words],
            cwd=HOUSE,
            env=surroundings(self.data),
            capture_output=True,
            text=True,
            check=False,
        )
        assert done.returncode == 0, f"manage.py {' '.join(words)}: {done.stderr}"
        return done.stdout


def surroundings(data: Path) -> dict[str, str]:
    """Return the environment of a fresh machine, with `data` as the data folder."""
    kept = {name: value for name, value in os.environ.items() if name not in OTHERWISE_SET}
    return {**kept, "DATA_DIR": str(data)}


def free_port() -> int:
    with socket.socket() as probe:
        probe.bind(("127.0.0.1", 0))
        return probe.getsockname()[1]


@contextmanager
def running(folder: Path, *options: str) -> Iterator[RunningApp]:
    """Start the app on an empty folder; end it as Ctrl-C does, and see that it ends well."""
    port = free_port()
    data, said = folder / "data", folder / "said.txt"
    # A job in the background may have been told to ignore Ctrl-C; the app must not inherit that.
    before = signal.signal(signal.SIGINT, signal.default_int_handler)
    with said.open("w") as words:
        process = subprocess.Popen(
            [sys.executable, "manage.py", "demo", "--port", str(port), *options],
            cwd=HOUSE,
            env=surroundings(data),
            stdout=words,
            stderr=subprocess.STDOUT,
        )
    signal.signal(signal.SIGINT, before)
    try:
        wait_until_ready(process, said)
        yield RunningApp(f"http://localhost:{port}", data, said)
    finally:
        process.send_signal(signal.SIGINT)
        try:
            code = process.wait(LONGEST_STOP)
        except subprocess.TimeoutExpired:
            process.kill()
            process.wait()
            raise
    assert code == 0, f"Ctrl-C ended the app with {code}:\n{said.read_text()}"


def wait_until_ready(process: subprocess.Popen, said: Path) -> None:
    deadline = time.monotonic() + LONGEST_START
    while READY not in said.read_text():
        assert process.poll() is None, f"It did not start:\n{said.read_text()}"
        assert time.monotonic() < deadline, f"It takes too long to start:\n{said.read_text()}"
        time.sleep(0.05)


def launch(playwright: Playwright) -> Browser:
    """Start Chromium without a window; an AssertionError says so where there is none."""
    assert CHROMIUM.exists(), (
        f"There is no Chromium at {CHROMIUM}. Install the package chromium, "
        "or name the program in the environment variable CHROMIUM."
    )
    return playwright.chromium.launch(executable_path=CHROMIUM, headless=True, args=QUIET)
