"""A real app on an empty studio, and pages of a real browser that bear no fault."""

import re
import shutil
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from pathlib import Path

import pytest
from playwright.sync_api import Browser, BrowserContext, Page, sync_playwright

from tests.browser.running import RunningApp, launch, running
from tests.browser.steps import agreed_panel

PATIENCE = 15_000
"""Milliseconds a page is waited for."""
DESK = {"viewport": {"width": 1280, "height": 900}}
PHONE = {"viewport": {"width": 390, "height": 844}, "has_touch": True, "is_mobile": True}
REFUSED = re.compile(r"^Failed to load resource.* status of (404|422) ")
"""What Chromium itself logs where the app answers, as it means to, that a form is refused."""


@pytest.fixture(scope="session")
def browser() -> Iterator[Browser]:
    with sync_playwright() as playwright:
        started = launch(playwright)
        yield started
        started.close()


@pytest.fixture
def app(tmp_path: Path) -> Iterator[RunningApp]:
    with running(tmp_path, "--no-demo") as started:
        yield started


@dataclass(frozen=True)
class AgreedWork:
    """A stopped studio with one accepted panel: its data folder, and who is signed in."""

    data: Path
    signed_in: Path


@pytest.fixture(scope="session")
def agreed_work(browser: Browser, tmp_path_factory: pytest.TempPathFactory) -> AgreedWork:
    """Walk to the first accepted panel once; tests begin from copies of what that left."""
    folder = tmp_path_factory.mktemp("agreed")
    work = AgreedWork(folder / "data", folder / "signed-in.json")
    with running(folder, "--no-demo") as app, browser.new_context(base_url=app.address) as context:
        agreed_panel(context.new_page())
        context.storage_state(path=work.signed_in)
    return work


@pytest.fixture
def agreed_app(agreed_work: AgreedWork, tmp_path: Path) -> Iterator[RunningApp]:
    shutil.copytree(agreed_work.data, tmp_path / "data")
    with running(tmp_path) as started:
        yield started


class Watch:
    """Notes every fault a browser sees on the pages of a context."""

    def __init__(self, context: BrowserContext) -> None:
        self.faults: list[str] = []
        context.on("response", self._answered)
        context.on("console", self._logged)
        context.on("weberror", lambda error: self.faults.append(f"script error: {error.error}"))

    def _answered(self, response) -> None:
        if response.status >= 500:
            self.faults.append(f"{response.status} from {response.url}")

    def _logged(self, message) -> None:
        stopped = "Content Security Policy" in message.text
        if stopped or (message.type in ("error", "warning") and not REFUSED.match(message.text)):
            self.faults.append(f"console: {message.text} {message.location}")


@pytest.fixture
def open_browser(app: RunningApp, browser: Browser) -> Iterator[Callable[..., Page]]:
    """Return a function that opens a browser of its own on the app; each is watched for faults."""
    opened: list[tuple[BrowserContext, Watch]] = []

    def opens(**options) -> Page:
        context = browser.new_context(base_url=app.address, accept_downloads=True, **options)
        context.set_default_timeout(PATIENCE)
        context.set_default_navigation_timeout(PATIENCE)
        opened.append((context, Watch(context)))
        return context.new_page()

    yield opens
    for context, _ in opened:
        context.close()
    assert [fault for _, watch in opened for fault in watch.faults] == []
    assert "Traceback" not in app.said.read_text()


@pytest.fixture
def desk(open_browser: Callable[..., Page]) -> Page:
    return open_browser(**DESK)
