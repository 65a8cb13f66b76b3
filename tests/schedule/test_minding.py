"""What the programme says is to be minded, and on which day."""

from datetime import timedelta

import pytest
from django.urls import reverse
from django.utils import timezone

from jobs.models import Piece
from schedule.domain.minding import minding
from schedule.domain.programme import planned_sittings
from studio.formats import local
from tests.cast import agreed_panel

STEPS = (
    ("sand", "none", 1, "none"),
    ("ground-colour", "acrylic", 1, "recoat"),
    ("details", "oil", 1, "touch-dry"),
)


@pytest.fixture(autouse=True)
def at_nine(clock):
    """Every test begins on Monday, 2 November 2026, at 09:00 in the studio."""


@pytest.fixture
def panel(anna):
    panel = agreed_panel(anna.studio, steps=STEPS)
    Piece.objects.update(finish="bare")
    return panel


def week(studio):
    return minding(planned_sittings(studio), studio=studio, now=timezone.now())


def test_each_day_is_told_with_the_cautions_of_its_sittings_and_no_other(panel):
    studio = panel.owner
    called = {
        "sand": {"sanding-dust"},
        "ground-colour": set(),
        "details": {"solvents", "oily-rags"},
    }
    wanted = {}
    for row in planned_sittings(studio):
        day = local(row.start, studio).date()
        wanted[day] = wanted.get(day, set()) | called[row.stage.kind]
    told = {day.day: {one.key for one in day.cautions} for day in week(studio).days}
    assert told == {day: keys for day, keys in wanted.items() if keys}
    assert [one.key for one in week(studio).cautions] == ["sanding-dust", "solvents", "oily-rags"]


def test_work_beyond_the_coming_week_is_not_told_yet(panel, clock):
    assert week(panel.owner).days
    late = list(planned_sittings(panel.owner))
    clock.now -= timedelta(days=30)
    assert minding(late, studio=panel.owner, now=clock.now).days == ()


def test_work_under_way_since_yesterday_is_minded_today(panel, clock):
    first = next(row for row in planned_sittings(panel.owner) if row.stage.kind == "sand")
    first.start = clock.now - timedelta(hours=20)
    (day,) = minding([first], studio=panel.owner, now=clock.now).days
    assert day.day == local(clock.now, panel.owner).date()


def test_the_page_signs_the_sittings_and_folds_the_words_away(panel, at_desk):
    page = at_desk.get(reverse("programme")).content.decode()
    assert "What to mind in the coming days" in page
    assert "Dust from sanding" in page
    assert "Mind: dust from sanding</span>" in page
    assert "licensed practice come first" in page
    assert page.count("Extract it at the tool") == 1


def test_work_without_danger_says_nothing(at_desk, anna):
    agreed_panel(anna.studio, steps=(("ground-colour", "acrylic", 1, "recoat"),))
    page = at_desk.get(reverse("programme")).content.decode()
    assert "Sitting by sitting" in page
    assert "mind-head" not in page
    assert "Mind:" not in page
