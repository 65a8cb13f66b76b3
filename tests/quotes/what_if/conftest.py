"""A studio with agreed work, of which questions are asked."""

from functools import partial

import pytest

from jobs.models import Commission, Panel
from schedule.domain import scratch
from studio.domain.records import keep_record
from studio.models import Studio
from studio.signals import hold_changes
from tests.cast import agreed_panel, asked, panel_of, piece_of, surface_of
from tests.quotes.what_if.questions_asked import DAY, MONDAY, UMBER


@pytest.fixture(autouse=True)
def few_futures(monkeypatch) -> None:
    """Play fewer futures: how many there are is tried where they are played."""
    monkeypatch.setattr(scratch, "foresee", partial(scratch.foresee, scenarios=200))


@pytest.fixture
def studio(anna, clock) -> Studio:
    """Two agreed commissions, the first wanted sooner than it can be."""
    with hold_changes():
        for name, wanted in (("Plait", 12), ("Finch", 60)):
            panel = agreed_panel(anna.studio, name, width=6000, height=5000)
            panel.commission.wanted = MONDAY + wanted * DAY
            keep_record(panel.commission)
    return Studio.objects.get(pk=anna.studio_id)


@pytest.fixture
def panel(studio) -> Panel:
    """The panel of the first commission; umber lies among the grounds of the studio."""
    with hold_changes():
        other = asked(studio, "Another chest")
        surface = surface_of(piece_of(other))
        panel_of(surface, "Wreath", ground_name="Umber", ground_colour=UMBER)
    return Panel.objects.for_bench().get(name="Plait")


@pytest.fixture
def enquiry(studio) -> Commission:
    commission = asked(studio, "A box asked for")
    panel_of(surface_of(piece_of(commission)), "Wren")
    return commission


@pytest.fixture
def sheet(studio):
    return studio.sheets.filter(stages__isnull=False).first()


@pytest.fixture
def rough(sheet) -> dict[str, str]:
    return {"sheet": str(sheet.pk), "panels": "3", "width": "30", "height": "40"}
