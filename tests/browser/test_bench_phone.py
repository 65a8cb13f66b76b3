"""The bench by one thumb: begin, end and touch on a phone, tapped twice, and without scripts."""

import re

import pytest
from playwright.sync_api import Locator, Page, expect

from tests.browser.conftest import PHONE
from tests.browser.steps import PASSWORD, log_afterwards, minutes_ago

THUMB = 44
"""CSS pixels a target must be high: WCAG 2.2, success criterion 2.5.5."""
BEGIN = re.compile("^Begin")
DONE = "End: the coat is done"
LATER = "End: go on later"


@pytest.fixture
def app(agreed_app):
    return agreed_app


@pytest.fixture
def bench(open_browser, agreed_work) -> Page:
    """The bench on a phone: one panel, washed and sanded, is ready to be primed."""
    page = open_browser(**PHONE, storage_state=agreed_work.signed_in)
    page.goto("/bench/")
    return page


def tap(page: Page, button: str | re.Pattern) -> None:
    page.get_by_role("button", name=button).tap()


def sittings_logged(page: Page) -> int:
    """Return how many sittings stand in the panel's log, from the bench and back to it."""
    page.get_by_role("main").get_by_role("link", name="Lid: Plait").first.click()
    count = page.get_by_role("link", name="Edit this sitting").count()
    page.goto("/bench/")
    return count


def test_one_tap_begins_and_one_ends_with_the_coat_done(bench):
    tap(bench, BEGIN)
    expect(bench.get_by_text("under the brush")).to_be_visible()
    bench.get_by_label("A word for the log").fill("thin first coat")
    tap(bench, DONE)
    expect(bench.get_by_role("region", name="Drying")).to_contain_text("Lid: Plait")
    bench.get_by_role("main").get_by_role("link", name="Lid: Plait").first.click()
    expect(bench.get_by_role("region", name="What was done")).to_contain_text("thin first coat")


def test_one_tap_says_what_a_finger_found(bench):
    bench.get_by_role("main").get_by_role("link", name="Lid: Plait").first.click()
    log_afterwards(bench, minutes_ago(90), minutes=20)
    bench.goto("/bench/")
    expect(bench.get_by_role("region", name="Drying")).to_contain_text("Lid: Plait")
    tap(bench, "Touch-dry")
    expect(bench.get_by_role("region", name="Ready for the brush")).to_contain_text("Lid: Plait")
    expect(bench.get_by_role("region", name="Drying")).to_be_hidden()


def test_a_sitting_that_is_paused_may_go_on(bench):
    tap(bench, BEGIN)
    tap(bench, LATER)
    tap(bench, BEGIN)
    expect(bench.get_by_text("under the brush")).to_be_visible()
    tap(bench, DONE)
    expect(bench.get_by_role("region", name="Drying")).to_be_visible()


def test_a_double_tap_begins_one_sitting(bench):
    before = sittings_logged(bench)
    bench.get_by_role("button", name=BEGIN).dblclick()
    expect(bench.get_by_text("under the brush")).to_have_count(1)
    assert sittings_logged(bench) == before + 1


def test_two_tabs_begin_one_sitting(bench):
    before = sittings_logged(bench)
    other = bench.context.new_page()
    other.goto("/bench/")
    tap(bench, BEGIN)
    expect(bench.get_by_text("under the brush")).to_be_visible()
    tap(other, BEGIN)
    expect(other.get_by_text("under the brush")).to_have_count(1)
    assert sittings_logged(other) == before + 1


def test_sign_in_begin_and_end_work_without_scripts(open_browser):
    plain = open_browser(**PHONE, java_script_enabled=False)
    plain.goto("/")
    plain.get_by_label("Email").fill("anna@example.org")
    plain.get_by_label("Password").fill(PASSWORD)
    tap(plain, "Sign in")
    before = sittings_logged(plain)
    plain.get_by_role("button", name=BEGIN).dblclick()
    expect(plain.get_by_text("under the brush")).to_have_count(1)
    tap(plain, DONE)
    expect(plain.get_by_role("region", name="Drying")).to_contain_text("Lid: Plait")
    assert sittings_logged(plain) == before + 1


ALONE = """link => !(link instanceof SVGElement) && (
    getComputedStyle(link).display !== 'inline'
    || link.parentElement.textContent.trim() === link.textContent.trim())"""
"""Leaves out words within a sentence, and the drawings, which are to scale."""


def stands_alone(link: Locator) -> bool:
    """Return whether a link is a target of its own, not words within a sentence."""
    return link.evaluate(ALONE)


def too_small(page: Page) -> list[str]:
    """Return the buttons, fields and links of a page that a thumb would miss."""
    main = page.get_by_role("main")
    menu = page.get_by_role("navigation", name="Pages, by the thumb")
    targets = [
        *main.get_by_role("button").all(),
        *main.get_by_role("textbox").all(),
        *main.get_by_role("combobox").all(),
        *(link for link in main.get_by_role("link").all() if stands_alone(link)),
        *menu.get_by_role("link").all(),
    ]
    expect(menu.get_by_role("link")).to_have_count(3)
    small = []
    for target in targets:
        box = target.bounding_box()
        if box and box["height"] < THUMB:
            small.append(f"{page.url}: {target.inner_text()!r} is {box['height']:.0f} high")
    return small


def test_every_target_is_big_enough_and_no_page_scrolls_sideways(bench):
    main = bench.get_by_role("main")
    main.get_by_role("link", name="Lid: Plait").first.click()
    panel = bench.url
    main.get_by_role("link", name="Box").first.click()
    piece = bench.url
    pages = ["/bench/", panel, piece, f"{panel}edit/", "/programme/", "/commissions/"]
    pages += ["/commissions/1/", "/commissions/1/estimate/", "/commissions/1/estimate/1/"]
    pages += ["/commissions/new/", "/clients/", "/methods/", "/mixes/", "/mixes/new/"]
    pages += ["/materials/", "/reminders/", "/studio/", "/studio/edit/"]
    small, sideways = [], []
    for address in pages:
        # Some parts of a page come after it, and bring targets of their own.
        bench.goto(address, wait_until="networkidle")
        small += too_small(bench)
        width = bench.evaluate("document.documentElement.scrollWidth")
        if width > PHONE["viewport"]["width"]:
            sideways.append(f"{address} is {width} wide")
    assert sideways == []
    assert small == []
