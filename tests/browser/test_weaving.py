"""The programme while it is woven, and what moved after a tap, in a real browser."""

import re
import shutil
from collections.abc import Iterator
from pathlib import Path

import pytest
from playwright.sync_api import Locator, Page, expect

from tests.browser.conftest import DESK, AgreedWork
from tests.browser.running import RunningApp, running
from tests.browser.steps import follow, heading, log_afterwards, minutes_ago, press

NEVER_DONE = "50000000"
"""So many plans that a search takes longer than any test waits."""


@pytest.fixture
def app(agreed_work: AgreedWork, tmp_path: Path, monkeypatch) -> Iterator[RunningApp]:
    monkeypatch.setenv("WEAVE_STEPS", NEVER_DONE)
    shutil.copytree(agreed_work.data, tmp_path / "data")
    with running(tmp_path) as started:
        yield started


@pytest.fixture
def page(open_browser, agreed_work: AgreedWork) -> Page:
    return open_browser(**DESK, storage_state=agreed_work.signed_in)


def strip(page: Page) -> Locator:
    return page.get_by_role("region", name="Weaving", exact=True)


def plans_tried(page: Page) -> int:
    expect(strip(page)).to_contain_text("plans tried")
    said = re.search(r"([\d,]+) of", strip(page).inner_text())
    return int(said[1].replace(",", ""))


def test_a_long_search_is_followed_worked_beside_and_stopped(page, app):
    page.goto("/programme/")
    by_hand = page.get_by_role("button", name=re.compile("^Weave (now|anew)"))
    expect(by_hand.or_(page.get_by_role("button", name="Stop here"))).to_be_visible()
    # Work left alone for a minute is woven by itself already.
    if by_hand.is_visible():
        by_hand.click()
    before = plans_tried(page)
    expect(strip(page)).not_to_contain_text(f" {before:,} of")

    page.get_by_text("Why then?").click()
    expect(page.get_by_text("It dries until", exact=False).first).to_be_visible()
    page.goto("/bench/")
    page.get_by_role("button", name=re.compile("^Begin")).click()
    expect(page.get_by_text("under the brush")).to_be_visible()

    page.goto("/programme/")
    assert plans_tried(page) > before
    press(page, "Stop here")
    expect(strip(page)).to_contain_text("cut short")
    expect(page.get_by_role("button", name="Weave on")).to_be_visible()
    expect(page.get_by_role("region", name="Sitting by sitting")).to_contain_text("Prime")
    assert "Traceback" not in app.said.read_text()


def test_a_tap_on_tacky_shows_what_moved_and_why(page):
    page.goto("/bench/")
    page.get_by_role("main").get_by_role("link", name="Lid: Plait").first.click()
    log_afterwards(page, minutes_ago(110), minutes=20)
    page.goto("/bench/")
    page.get_by_role("button", name="Tacky").click()
    expect(page.get_by_text(re.compile("Prime, coat 1 .* dries later"))).to_be_visible()
    follow(page, "What moved")
    heading(page, "Programme")
    moved = page.get_by_role("region", name="What moved")
    expect(moved).to_contain_text("dries later")
    expect(moved).to_contain_text(re.compile("instead of|as before"))
