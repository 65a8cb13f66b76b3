"""The estimate as another program reads it, and what it says when there is nothing to read."""

import json
from io import StringIO

import pytest
from django.core.management import CommandError, call_command

from quotes.domain.estimates import issue_estimate
from quotes.domain.pricing import price_commission
from quotes.papers import draft_estimate
from tests.cast import asked, panel_of, piece_of, surface_of


@pytest.fixture
def commission(clock, anna):
    commission = asked(anna.studio)
    panel_of(surface_of(piece_of(commission)))
    return commission


@pytest.fixture
def estimate(commission, clock):
    draft = draft_estimate(commission, now=clock.now)
    return issue_estimate(draft, at=clock.now, seen_total=draft.pricing.costing.total)


def said(*words: str) -> str:
    out = StringIO()
    call_command("estimate", *words, stdout=out)
    return out.getvalue()


def test_before_the_first_issue_the_price_as_it_stands_is_told(commission):
    told = json.loads(said("1", "--json"))
    costing = price_commission(commission).costing
    assert told["issue"] is None
    assert told["total"] == f"{costing.total / 100:.2f}"
    assert [line["minutes"] for line in told["lines"]] == [line.minutes for line in costing.lines]


def test_the_lines_add_up_to_the_net_to_the_cent(estimate):
    told = json.loads(said("1", "--json"))
    cents = [int(line["amount"].replace(".", "")) for line in told["lines"]]
    assert sum(cents) == int(told["net"].replace(".", "")) == estimate.net


def test_people_get_it_in_lines(estimate):
    assert "Plait: Prime" in said("1")
    assert "total" in said("1")


@pytest.mark.parametrize("number", ["7", "0", "-1", str(10**30)])
def test_a_number_that_is_not_there_is_said(number, commission):
    with pytest.raises(CommandError, match="no commission"):
        call_command("estimate", "--json", "--", number)


def test_a_number_that_is_none_is_said(commission):
    with pytest.raises(CommandError, match="number"):
        call_command("estimate", "one", "--json")


def test_there_is_no_paper_before_the_issue(commission, tmp_path):
    file = tmp_path / "estimate.pdf"
    with pytest.raises(CommandError, match="not issued yet"):
        call_command("estimate", "1", "--pdf", str(file))
    assert not file.exists()


def test_a_file_that_cannot_be_written_is_said(estimate, tmp_path):
    with pytest.raises(CommandError, match="cannot be written: No such file or directory"):
        call_command("estimate", "1", "--pdf", str(tmp_path / "nowhere" / "estimate.pdf"))
    with pytest.raises(CommandError, match="cannot be written: Is a directory"):
        call_command("estimate", "1", "--pdf", str(tmp_path))


def test_of_several_studios_one_is_to_be_named(commission, stranger):
    with pytest.raises(CommandError, match="--studio"):
        call_command("estimate", "1", "--json")
    assert json.loads(said("1", "--json", "--studio", "the-blue-door"))["commission"] == 1
    with pytest.raises(CommandError, match="no commission 1"):
        call_command("estimate", "1", "--studio", "elsewhere")
