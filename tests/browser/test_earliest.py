"""An enquiry from the telephone: the earliest honest day, then what warmth would do to it."""

import re

from playwright.sync_api import Page, expect

from tests.browser import steps
from tests.browser.running import RunningApp
from tests.browser.steps import fill, follow, heading, press, told

TITLE = "A cradle with birds"


def test_the_earliest_honest_day_for_an_enquiry_and_what_a_warmer_room_would_do(
    desk: Page, app: RunningApp
):
    steps.open_studio(desk)
    steps.write_down_client(desk, "Mrs Hart")
    steps.write_down_enquiry(desk, client="Mrs Hart", title=TITLE)
    ask_by_a_rough_size(desk)
    measure_it_and_see_the_day(desk)
    ask_what_it_would_do_to_the_rest(desk)
    steps.issue_and_accept(desk, 1)
    ask_for_a_warmer_room_and_keep_it(desk)


def the_day(page: Page) -> str:
    """Return the day to promise as the page of the enquiry tells it."""
    section = page.get_by_role("region", name="The earliest honest day")
    expect(section).to_contain_text("The earliest day to promise is")
    return re.search(r"to promise is ([^.]+)\.", section.inner_text()).group(1)


def ask_by_a_rough_size(page: Page) -> None:
    section = page.get_by_role("region", name="The earliest honest day")
    expect(section).to_contain_text("Nothing is measured yet")
    page.get_by_label("Painted by the method sheet").select_option(
        label="Lettering or border in one colour"
    )
    fill(page, How_many_panels="0", Each_about_so_wide="20", And_so_high="15")
    press(page, "When could it be ready?")
    expect(section).to_contain_text("At least one panel.")
    expect(steps.field(page, "Each about so wide")).to_have_value("20")
    fill(page, How_many_panels="2")
    press(page, "When could it be ready?")
    assert the_day(page)
    page.reload()
    expect(section).to_contain_text("Nothing is measured yet")


def measure_it_and_see_the_day(page: Page) -> None:
    steps.add_piece(page, "Cradle")
    steps.add_surface(page, "Head", width="40", height="30")
    steps.begin_panel(page, "Birds", on="Head")
    fill(page, Width="20", Height="15")
    steps.decide_ground(page, "old linen")
    page.get_by_label("Method sheet").select_option(label="Lettering or border in one colour")
    steps.save_panel(page, "Birds")
    page.goto("/commissions/1/")
    assert the_day(page)


def ask_what_it_would_do_to_the_rest(page: Page) -> None:
    expect(page.get_by_text("your other work")).to_have_count(0)
    page.goto("/programme/")
    follow(page, "What if …")
    heading(page, "What if …")
    page.get_by_role("link", name="One more commission").click()
    page.get_by_label("Which enquiry").select_option(label=f"1 {TITLE}")
    press(page, "What would it do?")
    answer = page.get_by_role("region", name="What it would do")
    expect(answer.get_by_role("row").filter(has_text=TITLE)).to_contain_text("new")
    expect(answer).to_contain_text("It would bring £")


def ask_for_a_warmer_room_and_keep_it(page: Page) -> None:
    page.goto("/programme/")
    follow(page, "What if …")
    page.get_by_role("link", name="A warmer room").click()
    fill(page, **{"The_room_at,_°C": "50"})
    press(page, "What would it do?")
    expect(page.get_by_text("Type a temperature one works in: 5 to 35 °C.")).to_be_visible()
    fill(page, **{"The_room_at,_°C": "26"})
    press(page, "What would it do?")
    answer = page.get_by_role("region", name="What it would do")
    row = answer.get_by_role("row").filter(has_text=TITLE)
    expect(row).to_contain_text("earlier than")
    cells = row.get_by_role("cell")
    told_day = cells.first.locator("b").inner_text()
    press(page, "Keep it")
    told(page, "It is kept")
    expect(page.get_by_role("main")).to_contain_text("26 °C")
    page.goto("/programme/")
    ready = page.get_by_role("region", name="When each will be ready")
    expect(ready).to_contain_text(told_day.split(" ", 1)[1] if told_day[0].isalpha() else told_day)
