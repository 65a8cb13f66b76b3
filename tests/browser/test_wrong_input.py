"""What a slip of the pen gets: a sentence beside the field, and everything typed still there."""

import re
from datetime import datetime, timedelta

import pytest
from playwright.sync_api import Page, expect

from tests.browser import steps
from tests.browser.conftest import DESK
from tests.browser.steps import HERE, field, fill, press

NEAR = 90
"""CSS pixels within which a message stands by its field."""


@pytest.fixture
def app(agreed_app):
    return agreed_app


@pytest.fixture
def piece(open_browser, agreed_work) -> Page:
    """The page of a box with one surface, its lid of 40 x 30 cm, and one panel on it."""
    page = open_browser(**DESK, storage_state=agreed_work.signed_in)
    page.goto("/commissions/1/")
    steps.follow(page, "Box")
    return page


def refused(page: Page, label: str, sentence: str) -> None:
    """See that the sentence belongs to the field, stands beside it, and is seen at once."""
    box = field(page, label)
    expect(box).to_have_attribute("aria-invalid", "true")
    expect(box).to_have_accessible_description(re.compile(re.escape(sentence)))
    message = page.get_by_text(sentence)
    expect(message).to_be_in_viewport()
    above, below = box.bounding_box(), message.bounding_box()
    assert abs(below["y"] - above["y"] - above["height"]) < NEAR
    expect(page.get_by_role("alert")).to_contain_text("It is not saved yet.")


SIZES = {
    "0": "A length here cannot be zero or less.",
    "-12": "A length here cannot be zero or less.",
    "1000000000": "That is more than ten metres. Check the number and its unit.",
    "wide": "‘wide’ is not a length. Type it like 46.5 (in centimetres).",
}


def test_absurd_sizes_are_refused_beside_the_field(piece):
    steps.follow(piece, "Add a surface")
    for typed, sentence in SIZES.items():
        fill(piece, Name="Front, left", Width=typed, Height="30")
        press(piece, "Save")
        refused(piece, "Width", sentence)
        expect(field(piece, "Name")).to_have_value("Front, left")
        expect(field(piece, "Width")).to_have_value(typed)
        expect(field(piece, "Height")).to_have_value("30")
    fill(piece, Width="25")
    press(piece, "Save")
    expect(piece.get_by_role("heading", name="Front, left", exact=True)).to_be_visible()


def test_a_panel_over_another_is_refused_and_kept_as_typed(piece):
    steps.begin_panel(piece, "Finch", on="Lid")
    fill(piece, Width="10", Height="10", Motif="a finch, looking left")
    fill(piece, From_the_left_edge_of_the_surface="15", From_the_top_of_the_surface="5")
    piece.get_by_label("undecided", exact=True).check()
    press(piece, "Save")
    refused(
        piece,
        "From the left edge of the surface",
        "It would lie over Plait. Move or shrink it.",
    )
    expect(field(piece, "Motif")).to_have_value("a finch, looking left")
    expect(piece.get_by_label("undecided", exact=True)).to_be_checked()
    fill(piece, From_the_left_edge_of_the_surface="25")
    steps.save_panel(piece, "Finch")


def test_a_panel_larger_than_its_surface_is_refused(piece):
    steps.begin_panel(piece, "Sky", on="Lid")
    fill(piece, Width="41", Height="10")
    piece.get_by_label("undecided", exact=True).check()
    press(piece, "Save")
    expect(field(piece, "Width")).to_have_attribute("aria-invalid", "true")
    expect(field(piece, "Width")).to_have_value("41")
    expect(field(piece, "Name")).to_have_value("Sky")


def test_a_wanted_date_in_the_past_is_refused(piece):
    yesterday = (datetime.now(HERE) - timedelta(days=1)).date().isoformat()
    piece.goto("/commissions/new/")
    piece.get_by_label("Client").select_option(label="Mrs Hart")
    fill(piece, Title="A settle", What_is_wanted="Birds\nand vines", Wanted_by=yesterday)
    press(piece, "Save")
    refused(piece, "Wanted by", "That day is past. Ask for a day from today on.")
    expect(field(piece, "Title")).to_have_value("A settle")
    expect(field(piece, "What is wanted")).to_have_value("Birds\nand vines")
    expect(field(piece, "Wanted by")).to_have_value(yesterday)


def test_an_end_before_its_start_is_refused_for_working_hours(piece):
    piece.goto("/studio/hours/new/")
    fill(piece, From="14:00", To="09:00")
    press(piece, "Save")
    refused(piece, "To", "The hours must end after they start.")
    expect(field(piece, "From")).to_have_value("14:00")
