"""What touch tests taught, on its page and in the hours the bench counts with."""

from datetime import UTC, datetime, timedelta

from django.urls import reverse

from jobs.domain.lessons import lessons
from jobs.domain.own_values import keep_own_row
from jobs.domain.work import record_touch_test
from jobs.domain.workshop import workshop_of
from studio.signals import hold_changes
from tests.cast import agreed_panel, painted

NOON = datetime(2026, 10, 5, 12, tzinfo=UTC)
OIL = (("first-oil", "oil", 1, "touch-dry"),)


def coat_dry_after(anna, hours: float, *, name: str = "Plait"):
    """Return a stage of oil found tacky a little before `hours` and dry then."""
    panel = agreed_panel(anna.studio, name, steps=OIL)
    stage = panel.stages.get()
    with hold_changes():
        painted(stage, by=anna, end=NOON)
        for result, share in (("tacky", 0.9), ("touch-dry", 1.0)):
            at = NOON + timedelta(hours=hours * share)
            record_touch_test(stage, coat=1, result=result, by=anna, at=at)
    return stage


def test_without_a_test_the_page_says_what_to_do(at_desk):
    page = at_desk.get(reverse("learning"))
    assert "No touch tests yet" in page.content.decode()


def test_slow_coats_lengthen_the_hours_counted_for_the_next(anna, at_desk):
    stage = agreed_panel(anna.studio, "Next", steps=OIL).stages.get()
    before = workshop_of(anna.studio).wait(stage, "touch-dry").median
    for number in range(6):
        coat_dry_after(anna, 2 * before / timedelta(hours=1), name=f"Plait {number}")
    after = workshop_of(anna.studio).wait(stage, "touch-dry").median
    assert 1.3 * before < after < 2 * before
    (lesson,) = lessons(anna.studio)
    assert lesson.posterior.tests == 6
    assert lesson.by_hours == before
    assert lesson.by_you == after
    page = at_desk.get(reverse("learning")).content.decode()
    assert "Oil colour" in page
    assert "Plait 3" in page


def test_tests_are_told_against_her_own_hours_where_she_typed_them(anna, at_desk):
    keep_own_row(anna.studio, table="binders", row="oil", values={"touch-dry": "30"})
    stage = coat_dry_after(anna, 40)
    (lesson,) = lessons(anna.studio)
    assert lesson.by_hours == workshop_of(anna.studio).foretold(stage)
    shown = at_desk.get(reverse("learning")).content.decode()
    assert "by the hours counted with" in shown
    assert "by the table" not in shown
    assert "unless you typed your own" in shown


def test_one_coat_that_dried_absurdly_late_hardly_counts(anna):
    stage = agreed_panel(anna.studio, "Next", steps=OIL).stages.get()
    before = workshop_of(anna.studio).wait(stage, "touch-dry").median
    coat_dry_after(anna, 15 * before / timedelta(hours=1))
    after = workshop_of(anna.studio).wait(stage, "touch-dry").median
    assert after < 1.1 * before


def test_two_people_at_odds_over_a_coat_are_both_told_and_neither_believed(anna, berit, at_desk):
    stage = agreed_panel(anna.studio, steps=OIL).stages.get()
    painted(stage, by=anna, end=NOON)
    for result, by, hours in (("touch-dry", anna, 20), ("tacky", berit, 30)):
        at = NOON + timedelta(hours=hours)
        record_touch_test(stage, coat=1, result=result, by=by, at=at)
    (lesson,) = lessons(anna.studio)
    assert lesson.seen == ()
    assert workshop_of(anna.studio).factor(stage).median == 1
    page = at_desk.get(reverse("learning")).content.decode()
    assert "between the two nothing counts" in page


def test_a_stranger_sees_nothing_of_it(anna, stranger, client):
    coat_dry_after(anna, 40)
    client.force_login(stranger)
    assert "No touch tests yet" in client.get(reverse("learning")).content.decode()
