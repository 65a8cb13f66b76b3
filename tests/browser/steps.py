"""Steps of the painter's walk, each as she does it: by labels, buttons and links."""

import re
from datetime import UTC, datetime, timedelta
from zoneinfo import ZoneInfo

from playwright.sync_api import Locator, Page, expect

PASSWORD = "linen umber verdigris"
HERE = ZoneInfo("Europe/London")
"""The studio's time zone in these walks."""


def field(page: Page, label: str) -> Locator:
    """Return the field of this very label, whether it may stay empty or not."""
    return page.get_by_label(re.compile(rf"^{re.escape(label)}( \(optional\))?$"))


def fill(page: Page, **typed: str) -> None:
    """Type into fields, by their labels with underscores for spaces."""
    for label, text in typed.items():
        field(page, label.replace("_", " ")).fill(text)


def press(page: Page, button: str | re.Pattern) -> None:
    page.get_by_role("button", name=button).click()


def follow(page: Page, link: str | re.Pattern) -> None:
    page.get_by_role("main").get_by_role("link", name=link).first.click()


def heading(page: Page, words: str | re.Pattern) -> None:
    expect(page.get_by_role("heading", level=1)).to_have_text(words)


def told(page: Page, words: str | re.Pattern) -> None:
    """See that the page answers with these words on top."""
    expect(page.get_by_role("main").get_by_role("status").first).to_contain_text(words)


def open_studio(page: Page) -> None:
    """The first page of an empty installation leads to an empty bench."""
    page.goto("/")
    heading(page, "Welcome to your studio")
    fill(
        page,
        Name_of_the_studio="The Blue Door",
        Your_name="Anna Kövesi",
        Password=PASSWORD,
        Hourly_cost="38.50",
    )
    page.get_by_label("Your email, to sign in").fill("anna@example.org")
    page.get_by_label("Currency").select_option("GBP")
    page.get_by_label("Measure in").select_option("cm")
    page.get_by_label("Time zone").select_option(HERE.key)
    press(page, "Open the studio")
    heading(page, "Bench")
    expect(page.get_by_role("heading", name="Nothing on the bench")).to_be_visible()


def write_down_client(page: Page, name: str) -> None:
    page.goto("/clients/")
    follow(page, "Write down a client")
    fill(page, Name=name, Address="4 Kiln Lane\nPotterton")
    press(page, "Save")
    told(page, "is saved")


def write_down_enquiry(page: Page, *, client: str, title: str, wanted_in: int = 90) -> None:
    page.goto("/commissions/")
    follow(page, re.compile("enquiry"))
    page.get_by_label("Client").select_option(label=client)
    wanted = (datetime.now(HERE) + timedelta(days=wanted_in)).date()
    fill(page, Title=title, What_is_wanted="Two doors with plaits.", Wanted_by=wanted.isoformat())
    press(page, "Save")
    heading(page, title)


def add_piece(page: Page, name: str) -> None:
    follow(page, "Add the piece")
    fill(page, What_it_is=name)
    page.get_by_label("What is on it now").select_option(index=1)
    press(page, "Save")
    heading(page, name)


def add_surface(page: Page, name: str, *, width: str, height: str, removable: bool = True) -> None:
    follow(page, "Add a surface")
    fill(page, Name=name, Width=width, Height=height)
    if removable:
        page.get_by_label(re.compile("^Can be taken off")).check()
    press(page, "Save")
    expect(page.get_by_role("heading", name=name, exact=True)).to_be_visible()


def begin_panel(page: Page, name: str, *, on: str) -> None:
    """Open the form of a new panel and give it a name."""
    follow(page, f"Add a panel to {on}")
    fill(page, Name=name)


def decide_ground(page: Page, name: str) -> None:
    page.get_by_label("decided", exact=True).check()
    fill(page, Name_of_the_ground_colour=name)
    page.get_by_label(re.compile("^Its colour")).fill("#d9cdb9")


def save_panel(page: Page, name: str) -> None:
    press(page, "Save")
    heading(page, name)


def use_method(page: Page, sheet: str) -> None:
    """Choose a method sheet on the page of a panel that has none yet."""
    page.get_by_label("Method sheet").select_option(label=sheet)
    press(page, "Use this method")
    expect(page.get_by_role("heading", name="Method", exact=True)).to_be_visible()


def issue_and_accept(page: Page, number: int) -> None:
    page.goto(f"/commissions/{number}/estimate/")
    press(page, "Issue")
    told(page, "is issued")
    press(page, re.compile("The client accepts"))
    told(page, "Accepted")


def log_afterwards(page: Page, start: datetime, *, minutes: int) -> None:
    """Log the panel's next stage, on its page, as done at a time of the studio's own clock."""
    follow(page, "Log it afterwards")
    set_times(page, start, minutes=minutes)
    page.get_by_label("The coat was finished").check()
    press(page, "Save")
    told(page, "is saved")


def set_times(page: Page, start: datetime, *, minutes: int) -> None:
    for label, moment in (("Start", start), ("End", start + timedelta(minutes=minutes))):
        field(page, label).fill(f"{moment:%Y-%m-%dT%H:%M}")


def agreed_panel(page: Page) -> None:
    """An accepted commission with one small panel, washed and sanded: ready to be primed."""
    open_studio(page)
    write_down_client(page, "Mrs Hart")
    write_down_enquiry(page, client="Mrs Hart", title="A painted box")
    add_piece(page, "Box")
    add_surface(page, "Lid", width="40", height="30")
    begin_panel(page, "Plait", on="Lid")
    fill(page, Width="20", Height="15")
    fill(page, From_the_left_edge_of_the_surface="2", From_the_top_of_the_surface="2")
    decide_ground(page, "old linen")
    page.get_by_label("Method sheet").select_option(label="Lettering or border in one colour")
    save_panel(page, "Plait")
    panel = page.url
    issue_and_accept(page, 1)
    page.goto(panel)
    log_afterwards(page, at_studio(days=-2, hour=10), minutes=20)
    log_afterwards(page, at_studio(days=-2, hour=15), minutes=20)
    page.goto("/bench/")


def at_studio(*, days: int, hour: int) -> datetime:
    """Return an hour of a day counted from today, by the studio's clock."""
    day = datetime.now(HERE) + timedelta(days=days)
    return day.replace(hour=hour, minute=0, second=0, microsecond=0)


def minutes_ago(minutes: int) -> datetime:
    """Return a moment not long past, by the studio's clock."""
    return (datetime.now(UTC) - timedelta(minutes=minutes)).astimezone(HERE)
