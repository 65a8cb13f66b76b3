"""Questions ask the database as often for three panels as for one."""

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext
from django.urls import reverse

from jobs.models import Commission
from studio.signals import hold_changes
from tests.cast import agreed_panel, asked, panel_of, piece_of, surface_of
from tests.quotes.what_if.questions_asked import typed


def queries(client, path: str, data: dict) -> int:
    with CaptureQueriesContext(connection) as seen:
        assert client.get(path, data).status_code == 200
    return len(seen)


@pytest.fixture
def enquiry(anna, clock) -> Commission:
    agreed_panel(anna.studio)
    commission = asked(anna.studio, "A box asked for")
    panel_of(surface_of(piece_of(commission)), "Wren")
    return commission


def add(enquiry: Commission) -> None:
    """Add a panel to the enquiry and one of agreed work."""
    with hold_changes():
        surface = surface_of(piece_of(enquiry, "Another"))
        panel_of(surface, f"Panel {surface.pk}")
        agreed_panel(enquiry.studio, f"Agreed {surface.pk}")


@pytest.mark.parametrize("what", ["earliest", "ground", "commission", "room"])
def test_as_many_queries_for_three_panels_as_for_one(what, at_desk, enquiry):
    path, data = reverse("what-if-answer"), {}
    if what == "earliest":
        path = reverse("earliest", args=[enquiry.number])
    elif what == "ground":
        path, data = reverse("what-if"), {"ask": "ground"}
    else:
        more = {"enquiry": str(enquiry.pk)} if what == "commission" else {}
        data = typed(what, **more)
    one = queries(at_desk, path, data)
    add(enquiry)
    add(enquiry)
    assert queries(at_desk, path, data) == one
