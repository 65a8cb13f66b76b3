"""A visit, an errand, a long evening: hours of one day, and someone who paints for a week."""

import pytest
from django.urls import reverse

from studio.models import DatedHours, DayOff, Person
from tests.cast import PASSWORD


@pytest.fixture(autouse=True)
def at_nine(clock):
    """Every test begins on Monday, 2 November 2026, at 09:00 in the studio."""


def visit(**changed) -> dict:
    shown = {
        "kind": "away", "day": "2026-11-05", "start": "10:00", "end": "11:30", "person": "",
        "note": "Mrs Vale looks at the samples",
    }  # fmt: skip
    return {**shown, **changed}


def test_a_visit_is_written_down_changed_and_removed(at_desk, anna):
    assert at_desk.post(reverse("dated-hours-new"), visit()).status_code == 302
    kept = DatedHours.objects.get()
    assert (kept.kind, str(kept.day), str(kept.start), kept.person) == (
        "away", "2026-11-05", "10:00:00", None,
    )  # fmt: skip
    page = at_desk.get(reverse("business")).content.decode()
    assert "Mrs Vale looks at the samples" in page
    change = visit(person=anna.pk, end="12:00", seen_version=kept.version)
    assert at_desk.post(reverse("dated-hours-edit", args=[kept.pk]), change).status_code == 302
    kept.refresh_from_db()
    assert (str(kept.end), kept.person) == ("12:00:00", anna)
    at_desk.post(reverse("dated-hours-remove", args=[kept.pk]))
    assert not DatedHours.objects.exists()


def test_nobody_of_another_studio_can_be_chosen(at_desk, anna, stranger):
    address = reverse("dated-hours-new")
    choices = at_desk.get(address).context["form"].fields["person"].queryset
    assert list(choices) == [anna]
    answer = at_desk.post(address, visit(person=stranger.pk))
    assert answer.status_code == 422
    assert "person" in answer.context["form"].errors
    assert not DatedHours.objects.exists()


@pytest.mark.parametrize(
    ("field", "typed", "words"),
    [
        ("end", "10:00", "must end after they start"),
        ("end", "00:00", "before midnight"),
        ("start", "ten", "valid time"),
        ("day", "2026-10-12", "That day is over"),
        ("day", "0206-11-05", "Check the year"),
        ("kind", "holiday", "valid choice"),
        ("person", "999999", "valid choice"),
    ],
)
def test_hours_that_cannot_be_are_refused_beside_their_field(field, typed, words, at_desk):
    page = at_desk.post(reverse("dated-hours-new"), visit(**{field: typed}))
    assert page.status_code == 422
    assert words in str(page.context["form"].errors[field])
    assert "Mrs Vale looks at the samples" in page.content.decode(), "what was typed stays"
    assert not DatedHours.objects.exists()


def test_longer_hours_on_a_day_off_are_asked_about(at_desk, anna):
    DayOff.objects.create(studio=anna.studio, first="2026-11-04", last="2026-11-06")
    page = at_desk.post(reverse("dated-hours-new"), visit(kind="extra"))
    assert "You have that day off" in str(page.context["form"].errors["day"])
    assert at_desk.post(reverse("dated-hours-new"), visit()).status_code == 302


@pytest.mark.parametrize(
    ("start", "end", "already"),
    [("10:00", "11:30", True), ("16:00", "20:00", False), ("06:00", "10:00", False)],
)
def test_longer_hours_that_are_hers_already_are_refused(start, end, already, at_desk):
    long = visit(kind="extra", start=start, end=end)
    page = at_desk.post(reverse("dated-hours-new"), long)
    assert (page.status_code == 422) is already
    again = at_desk.post(reverse("dated-hours-new"), long)
    assert "You work then already." in str(again.context["form"].errors["start"])
    assert at_desk.post(reverse("dated-hours-new"), visit(start=start, end=end)).status_code == 302


def test_longer_hours_of_one_person_are_no_one_elses(at_desk, anna):
    dora = Person.objects.create(studio=anna.studio, name="Dora", email="dora@example.org")
    evening = {"kind": "extra", "start": "19:00", "end": "20:00"}
    for _ in range(2):
        page = at_desk.post(reverse("dated-hours-new"), visit(**evening, person=dora.pk))
    assert "Dora works then already." in str(page.context["form"].errors["start"])
    assert at_desk.post(reverse("dated-hours-new"), visit(**evening)).status_code == 302
    page = at_desk.post(reverse("dated-hours-new"), visit(**evening, person=anna.pk))
    assert "Anna works then already." in str(page.context["form"].errors["start"])


def test_longer_hours_may_be_changed_without_being_in_their_own_way(at_desk):
    at_desk.post(reverse("dated-hours-new"), visit(kind="extra", start="18:00", end="20:00"))
    kept = DatedHours.objects.get()
    shorter = visit(kind="extra", start="18:00", end="19:00", seen_version=kept.version)
    assert at_desk.post(reverse("dated-hours-edit", args=[kept.pk]), shorter).status_code == 302


def test_a_visit_that_is_over_is_no_longer_shown(at_desk, clock):
    at_desk.post(reverse("dated-hours-new"), visit(), follow=True)
    clock.now = clock.now.replace(day=6)
    assert "Mrs Vale" not in at_desk.get(reverse("business")).content.decode()


def helper(**changed) -> dict:
    shown = {
        "name": "Dora", "email": "dora@example.org", "paints": "on", "is_active": "on",
        "password": PASSWORD, "paints_from": "2026-11-09", "paints_until": "2026-11-13",
    }  # fmt: skip
    return {**shown, **changed}


def test_someone_paints_here_for_a_week(at_desk):
    assert at_desk.post(reverse("person-new"), helper()).status_code == 302
    dora = Person.objects.get(name="Dora")
    assert (str(dora.paints_from), str(dora.paints_until)) == ("2026-11-09", "2026-11-13")
    page = at_desk.get(reverse("business")).content.decode()
    assert "paints here from" in page


@pytest.mark.parametrize(
    ("typed", "words"),
    [("2026-11-08", "comes before the first"), ("2926-11-08", "Check the year")],
)
def test_a_last_day_that_cannot_be_is_refused_beside_its_field(typed, words, at_desk):
    page = at_desk.post(reverse("person-new"), helper(paints_until=typed))
    assert page.status_code == 422
    assert words in str(page.context["form"].errors["paints_until"])


@pytest.mark.parametrize(
    ("field", "typed", "words"),
    [
        ("rack", "0", "At least 1"),
        ("rack", "900", "At most 500"),
        ("frozen_days", "15", "At most 14"),
        ("frozen_days", "", "cannot stay empty"),
    ],
)
def test_a_rack_or_frozen_days_that_cannot_be_are_refused(field, typed, words, at_desk):
    form = at_desk.get(reverse("business-edit")).context["form"]
    shown = {name: form[name].value() or "" for name in form.fields}
    page = at_desk.post(reverse("business-edit"), {**shown, field: typed})
    assert page.status_code == 422
    assert words in str(page.context["form"].errors[field])


def test_the_rack_and_the_frozen_days_are_kept(at_desk, anna):
    form = at_desk.get(reverse("business-edit")).context["form"]
    shown = {name: form[name].value() or "" for name in form.fields}
    data = {**shown, "rack": "4", "frozen_days": "0"}
    assert at_desk.post(reverse("business-edit"), data).status_code == 302
    anna.studio.refresh_from_db()
    assert (anna.studio.rack, anna.studio.frozen_days) == (4, 0)
