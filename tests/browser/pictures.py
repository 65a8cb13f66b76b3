"""Save the pictures of the README by hand: python -m tests.browser.pictures FOLDER."""

import sys
import tempfile
from pathlib import Path

from playwright.sync_api import Browser, Page, sync_playwright

from quotes.demo.scenario import EMAIL, PASSWORD
from tests.browser.running import RunningApp, launch, running

SIZES = {1280: 900, 390: 844}
"""Widths of the pictures with the heights of their windows, in CSS pixels."""


def sign_in(page: Page) -> None:
    page.goto("/")
    page.get_by_label("Email").fill(EMAIL)
    page.get_by_label("Password").fill(PASSWORD)
    page.get_by_role("button", name="Sign in").click()
    page.wait_for_url("**/bench/")


def places(page: Page) -> dict[str, str]:
    """Return addresses by name: of a panel that is drying, its piece, its commission's estimate."""
    page.goto("/bench/")
    drying = page.get_by_role("region", name="Drying")
    drying.get_by_role("heading", level=3).get_by_role("link").first.click()
    panel = page.url
    crumbs = page.get_by_role("main").get_by_role("link")
    commission, piece = (crumbs.nth(place).get_attribute("href") for place in (0, 1))
    return {
        "bench": "/bench/",
        "programme": "/programme/",
        "panel": panel,
        "piece": piece,
        "estimate": f"{commission}estimate/",
    }


def take(browser: Browser, app: RunningApp, folder: Path) -> None:
    for width, height in SIZES.items():
        size = {"width": width, "height": height}
        with browser.new_context(base_url=app.address, viewport=size) as context:
            page = context.new_page()
            sign_in(page)
            for name, address in places(page).items():
                page.goto(address)
                page.screenshot(path=folder / f"{name}-{width}.png")
                page.screenshot(path=folder / f"{name}-{width}-whole.png", full_page=True)


def main() -> None:
    if len(sys.argv) != 2:
        sys.exit("Say in which folder the pictures are to be saved.")
    folder = Path(sys.argv[1])
    folder.mkdir(parents=True, exist_ok=True)
    with (
        tempfile.TemporaryDirectory() as data,
        sync_playwright() as playwright,
        running(Path(data)) as app,
    ):
        browser = launch(playwright)
        take(browser, app, folder)
        browser.close()
    sys.stdout.write(f"The pictures are in {folder}.\n")


if __name__ == "__main__":
    main()
