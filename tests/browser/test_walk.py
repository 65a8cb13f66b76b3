"""One commission from an empty installation to the morning when a panel is dry.

The walk of a working day, through the pages and the commands she would use.
"""

import email
import json
import re
import time
from datetime import datetime, timedelta
from decimal import Decimal
from email.message import EmailMessage
from email.policy import default
from io import BytesIO
from pathlib import Path

import pdfplumber
from playwright.sync_api import Locator, Page, expect

from tests.browser import steps
from tests.browser.running import RunningApp
from tests.browser.steps import fill, follow, heading, press, told

CLIENT = "Ágnes Kővári"
TITLE = "Two doors with plaits"
PANELS = ("Plait", "Plait, mirrored", "Finch")
WORKER_LOOKS = 30
"""Seconds: the worker looks every 20."""


def test_from_the_enquiry_to_the_morning_when_a_panel_is_dry(desk: Page, app: RunningApp, tmp_path):
    steps.open_studio(desk)
    steps.write_down_client(desk, CLIENT)
    steps.write_down_enquiry(desk, client=CLIENT, title=TITLE)
    describe_the_cupboard(desk)
    draw_three_panels(desk)

    look_at_the_estimate(desk, app)
    issue_it(desk)
    read_the_paper(desk, app, tmp_path)
    accept_it(desk)

    see_every_panel_in_the_programme(desk, app)

    prepare_the_wood_two_days_ago(desk)
    prime_the_plait(desk)
    find_it_tacky(desk, app)
    correct_it_to_yesterday_evening(desk)
    be_reminded(desk, app)


def describe_the_cupboard(page: Page) -> None:
    steps.add_piece(page, "Cupboard")
    steps.add_surface(page, "Left door", width="46", height="120")
    steps.add_surface(page, "Right door", width="46", height="120")
    expect(page.get_by_role("main").get_by_text("46 cm × 120 cm").first).to_be_visible()


def draw_three_panels(page: Page) -> None:
    """An arch with its method at once, its mirror image, a circle that gets its method later."""
    piece = page.url
    steps.begin_panel(page, "Plait", on="Left door")
    page.get_by_label("Shape").select_option("arch")
    fill(page, Width="30", Height="45", Motif="plait border")
    fill(page, From_the_left_edge_of_the_surface="8", From_the_top_of_the_surface="6")
    steps.decide_ground(page, "old linen")
    page.get_by_label("Method sheet").select_option(
        label="Interlace in acrylic underpainting and oil"
    )
    steps.save_panel(page, "Plait")

    follow(page, "Mirror it")
    page.get_by_label("On which surface").select_option(label="Right door")
    fill(page, Its_name="Plait, mirrored")
    press(page, "Save")
    heading(page, "Plait, mirrored")

    page.goto(piece)
    steps.begin_panel(page, "Finch", on="Left door")
    page.get_by_label("Shape").select_option("circle")
    fill(page, Width="24", Motif="a finch")
    page.get_by_label("undecided", exact=True).check()
    steps.save_panel(page, "Finch")
    expect(page.get_by_text("The ground colour is undecided")).to_be_visible()
    steps.use_method(page, "Landscape or figure in acrylic and oil")


def total_on(page: Page) -> Decimal:
    """Return the total that the price on the page ends with."""
    sums = page.get_by_role("region", name=re.compile("^The price")).get_by_role("definition")
    label = page.get_by_role("term").filter(has_text=re.compile("^Total$"))
    expect(label).to_have_count(1)
    row = label.locator("xpath=..")
    expect(sums.first).to_be_visible()
    return Decimal(row.get_by_role("definition").inner_text().lstrip("£").replace(",", ""))


def price_by_command(app: RunningApp) -> dict:
    return json.loads(app.manage("estimate", "1", "--json"))


def look_at_the_estimate(page: Page, app: RunningApp) -> None:
    page.goto("/commissions/1/")
    follow(page, "Price it")
    heading(page, "Estimate")
    for panel in PANELS:
        expect(page.get_by_role("heading", name=panel).first).to_be_visible()
    standing = price_by_command(app)
    assert standing["issue"] is None
    assert Decimal(standing["total"]) == total_on(page) > 0


def issue_it(page: Page) -> None:
    press(page, re.compile("^Issue"))
    told(page, "is issued")
    expect(page.get_by_role("link", name="Number 1", exact=True)).to_be_visible()


def read_the_paper(page: Page, app: RunningApp, folder: Path) -> None:
    """The PDF names client, panels, price, deposit and validity, as page and command do."""
    with page.expect_download() as coming:
        page.get_by_role("link", name="PDF of number 1").click()
    paper = Path(coming.value.path()).read_bytes()
    with pdfplumber.open(BytesIO(paper)) as pdf:
        words = " ".join(" ".join(sheet.extract_text() for sheet in pdf.pages).split())
    issued = price_by_command(app)
    until = datetime.fromisoformat(issued["valid_until"])
    assert issued["issue"] == 1
    assert Decimal(issued["total"]) == total_on(page)
    assert sum(Decimal(line["amount"]) for line in issued["lines"]) == Decimal(issued["net"])
    for expected in (
        CLIENT,
        *PANELS,
        f"£{Decimal(issued['total']):,.2f}",
        f"£{Decimal(issued['deposit']):,.2f}",
        f"{until.day} {until:%B %Y}",
    ):
        assert expected in words
    app.manage("estimate", "1", "--pdf", str(folder / "sent.pdf"))
    assert (folder / "sent.pdf").read_bytes() == paper


def accept_it(page: Page) -> None:
    press(page, re.compile("The client accepts number 1"))
    told(page, "Accepted")
    expect(page.get_by_role("heading", name="Next: begin at the bench")).to_be_visible()


def see_every_panel_in_the_programme(page: Page, app: RunningApp) -> None:
    page.goto("/programme/")
    expect(page.get_by_role("region", name="When each will be ready")).to_contain_text(TITLE)
    agenda = page.get_by_role("region", name="Sitting by sitting")
    for panel in PANELS:
        expect(agenda.get_by_role("link", name=panel).first).to_be_visible()
    plan = json.loads(app.manage("programme", "--json"))
    assert {sitting["panel"] for sitting in plan["sittings"]} == set(PANELS)
    first = datetime.fromisoformat(min(sitting["start"] for sitting in plan["sittings"]))
    assert first.tzinfo is not None
    expect(agenda).to_contain_text(f"{first:%H:%M}")


def open_plait(page: Page) -> None:
    page.goto("/bench/")
    page.get_by_role("main").get_by_role("link", name="Left door: Plait").first.click()
    heading(page, "Plait")


def prepare_the_wood_two_days_ago(page: Page) -> None:
    """Washing and sanding were done before the log was opened, and are written down after."""
    open_plait(page)
    steps.log_afterwards(page, steps.at_studio(days=-2, hour=10), minutes=25)
    steps.log_afterwards(page, steps.at_studio(days=-2, hour=15), minutes=25)


def row_of(page: Page, region: str, panel: str) -> Locator:
    rows = page.get_by_role("region", name=region).get_by_role("listitem")
    return rows.filter(has=page.get_by_role("link", name=panel, exact=True))


def prime_the_plait(page: Page) -> None:
    """She begins, paints, and ends with the coat done: the panel goes among those drying."""
    page.goto("/bench/")
    row_of(page, "Ready for the brush", "Left door: Plait").get_by_role(
        "button", name=re.compile("^Begin")
    ).click()
    told(page, "Begun: Plait, prime.")
    expect(page.get_by_text("under the brush")).to_be_visible()
    page.get_by_label("A word for the log").fill("first coat, thinned")
    press(page, "End: the coat is done")
    told(page, "the coat is finished")
    drying = row_of(page, "Drying", "Left door: Plait")
    expect(drying).to_contain_text("Prime, coat 1 of 3, until ready to recoat")
    expect(drying).to_contain_text("you will be reminded")


def correct_the_sitting(page: Page, start: datetime, *, minutes: int) -> None:
    """Change when the latest sitting was, in the log of the panel."""
    open_plait(page)
    page.get_by_role("link", name="Edit this sitting").first.click()
    steps.set_times(page, start, minutes=minutes)
    press(page, "Save")
    told(page, "is saved")


def dries_by_command(app: RunningApp) -> datetime:
    (row,) = json.loads(app.manage("bench", "--json"))["drying"]
    assert row["panel"] == "Plait"
    return datetime.fromisoformat(row["likely"])


def find_it_tacky(page: Page, app: RunningApp) -> None:
    """She really ended an hour and a half ago; a finger finds it tacky, and the hour moves."""
    correct_the_sitting(page, steps.minutes_ago(110), minutes=20)
    before = dries_by_command(app)
    page.goto("/bench/")
    row_of(page, "Drying", "Left door: Plait").get_by_role("button", name="Tacky").click()
    told(page, "tacky")
    after = dries_by_command(app)
    assert after > before
    drying = row_of(page, "Drying", "Left door: Plait")
    quarter = timedelta(minutes=15)
    shown = after + (after.replace(hour=0, minute=0, second=0, microsecond=0) - after) % quarter
    expect(drying).to_contain_text(f"{shown:%H:%M}")
    expect(drying).to_contain_text("found tacky")


def correct_it_to_yesterday_evening(page: Page) -> None:
    """The test was on another panel, and the coat from yesterday: so it came dry overnight."""
    open_plait(page)
    page.get_by_role("link", name="Remove this touch test").click()
    press(page, "Remove")
    told(page, "removed")
    correct_the_sitting(page, steps.at_studio(days=-1, hour=17), minutes=30)
    page.goto("/bench/")
    ready = row_of(page, "Ready for the brush", "Left door: Plait")
    expect(ready).to_contain_text("Prime, coat 2 of 3")


def letters(app: RunningApp) -> list[EmailMessage]:
    """Return the mails written so far, by the worker of the running app or by the command."""
    return [
        email.message_from_bytes(one.strip() + b"\n", policy=default)
        for file in sorted(app.mail.glob("*.log"))
        for one in re.split(rb"^-{79}\n", file.read_bytes(), flags=re.M)
        if one.strip()
    ]


def be_reminded(page: Page, app: RunningApp) -> None:
    """The reminder goes out once, by the worker or by the command, and the bench says so."""
    app.manage("remind", "--once")
    deadline = time.monotonic() + WORKER_LOOKS
    while not letters(app) and time.monotonic() < deadline:
        time.sleep(0.5)
    about_prime = [one for one in letters(app) if "Prime" in one["Subject"]]
    (letter,) = about_prime
    assert letter["Subject"] == "Left door: Plait: Prime, coat 1 of 3 should be ready to recoat"
    assert letter["To"] == "anna@example.org"
    assert letter["Message-ID"]
    assert "Prime" in letter.get_content()

    page.goto("/bench/")
    ready = row_of(page, "Ready for the brush", "Left door: Plait")
    expect(ready).to_contain_text("told by email today")
    page.goto("/reminders/")
    expect(page.get_by_role("row").filter(has_text="Prime")).to_contain_text("told today")
    app.manage("remind", "--once")
    assert len([one for one in letters(app) if "Prime" in one["Subject"]]) == 1
