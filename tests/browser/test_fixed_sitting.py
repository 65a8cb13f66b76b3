"""A sitting fixed on the programme, moved by its form, and let go, in a real browser."""

import re
from datetime import datetime, timedelta

import pytest
from playwright.sync_api import Locator, Page, expect

from tests.browser.conftest import DESK
from tests.browser.steps import HERE, field, press, told


@pytest.fixture
def app(agreed_app):
    return agreed_app


@pytest.fixture
def programme(open_browser, agreed_work) -> Page:
    page = open_browser(**DESK, storage_state=agreed_work.signed_in)
    page.goto("/programme/")
    return page


def last_row(page: Page) -> Locator:
    return page.get_by_role("region", name="Sitting by sitting").get_by_role("row").last


def test_a_sitting_is_fixed_where_it_stands_and_let_go(programme):
    row = last_row(programme)
    row.get_by_role("button", name=re.compile("^Fix")).click()
    told(programme, "fixed")
    row = last_row(programme)
    expect(row).to_contain_text("fixed")
    row.get_by_role("button", name=re.compile("^Let go")).click()
    told(programme, "the programme may move it again")
    expect(last_row(programme).get_by_role("button", name=re.compile("^Fix"))).to_be_visible()


def test_a_sitting_is_moved_to_another_day_and_a_wrong_time_is_told_beside_its_field(programme):
    last_row(programme).get_by_role("link", name=re.compile("^Move")).click()
    day = datetime.now(HERE).date() + timedelta(days=200)
    field(programme, "On the day").fill(day.isoformat())
    field(programme, "From").fill("10:20")
    press(programme, "Save")
    expect(programme.locator(".field-start")).to_contain_text("quarters of an hour")
    expect(field(programme, "On the day")).to_have_value(day.isoformat())
    field(programme, "From").fill("22:15")
    press(programme, "Save")
    told(programme, "outside the working hours")
    moved = programme.get_by_role("row").filter(has_text="22:15")
    expect(moved).to_contain_text("fixed")
