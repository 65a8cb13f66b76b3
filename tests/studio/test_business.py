"""The studio's own pages: hours, days off, people, and how it counts."""

from datetime import date, time, timedelta
from decimal import Decimal

import pytest
from django.urls import reverse

from studio.domain.records import keep_record
from studio.models import DayOff, Person, Studio
from tests.cast import PASSWORD, asked


def settings_of(studio, **changed) -> dict:
    fields = (
        "name", "address", "email", "phone", "currency", "unit", "locale", "time_zone", "tax_name",
        "contingency", "deposit", "valid_days", "terms", "room_temperature", "room_humidity",
        "room_airing", "dry_enough", "frozen_days",
    )  # fmt: skip
    shown = {name: getattr(studio, name) for name in fields}
    typed = {"hourly_cost": "35", "tax_name": "VAT", "tax_rate": "", "seen_version": studio.version}
    return {**shown, **typed, **changed}


def test_she_changes_how_the_studio_counts(at_desk, anna):
    data = settings_of(anna.studio, tax_name="VAT", tax_rate="20", hourly_cost="41.20")
    assert at_desk.post(reverse("business-edit"), data).status_code == 302
    anna.studio.refresh_from_db()
    assert (anna.studio.hourly_cost, anna.studio.tax_rate, anna.studio.version) == (4120, 20, 2)


@pytest.mark.parametrize(
    ("field", "typed"),
    [
        ("hourly_cost", "-1"),
        ("hourly_cost", "1000000000000"),
        ("hourly_cost", "inf"),
        ("hourly_cost", "1e3"),
        ("hourly_cost", "1.250"),
        ("tax_rate", "1e1"),
        ("tax_rate", "101"),
        ("deposit", "-5"),
        ("contingency", "1000000000"),
        ("valid_days", "0"),
        ("valid_days", "1000000000"),
        ("room_temperature", "90"),
        ("room_humidity", "101"),
        ("room_humidity", "damp"),
        ("name", ""),
    ],
)
def test_a_setting_that_cannot_be_is_refused_beside_its_field(field, typed, at_desk, anna):
    response = at_desk.post(reverse("business-edit"), settings_of(anna.studio, **{field: typed}))
    assert response.status_code == 422
    assert list(response.context["form"].errors) == [field]
    anna.studio.refresh_from_db()
    assert anna.studio.version == 1


def test_a_refused_form_names_the_studio_as_it_is_kept(at_desk, anna):
    typed = settings_of(anna.studio, name="The Red Door", deposit="101")
    page = at_desk.post(reverse("business-edit"), typed).content.decode()
    head, form = page.split("<form", 1)[0], page.split('<main id="main"', 1)[1]
    assert "The Blue Door" in head
    assert "The Red Door" not in head
    assert 'value="The Red Door"' in form


def as_shown(browser) -> dict:
    """Return what the studio's form shows, as it is sent when nothing is touched."""
    page = browser.get(reverse("business-edit")).context["form"]
    shown = {name: page[name].value() for name in page.fields}
    return {name: "" if value is None else value for name, value in shown.items()}


NUMBERS = ("hourly_cost", "tax_rate", "contingency", "deposit")


@pytest.mark.parametrize("currency", ["EUR", "KWD"])
@pytest.mark.parametrize(
    ("old", "new"), [("en_GB", "de_DE"), ("de_DE", "en_GB"), ("fr_FR", "ja_JP")]
)
def test_numbers_left_alone_keep_their_meaning_when_the_locale_changes(
    old, new, currency, at_desk, anna
):
    kept = {
        "hourly_cost": 41_250, "tax_rate": Decimal("7.125"),
        "contingency": Decimal("12.5"), "deposit": Decimal(40),
    }  # fmt: skip
    Studio.objects.update(locale=old, currency=currency, tax_name="VAT", **kept)
    answer = at_desk.post(reverse("business-edit"), {**as_shown(at_desk), "locale": new})
    assert answer.status_code == 302
    anna.studio.refresh_from_db()
    assert anna.studio.locale == new
    assert {name: getattr(anna.studio, name) for name in NUMBERS} == kept


def test_a_number_typed_with_the_newly_chosen_locale_is_read_in_it(at_desk, anna):
    data = {**as_shown(at_desk), "locale": "de_DE", "hourly_cost": "1.041,20", "deposit": "33.3"}
    assert at_desk.post(reverse("business-edit"), data).status_code == 302
    anna.studio.refresh_from_db()
    assert (anna.studio.hourly_cost, anna.studio.deposit) == (104_120, Decimal("33.3"))


def test_a_tax_without_its_name_is_asked_for_it(at_desk, anna):
    data = settings_of(anna.studio, tax_name="", tax_rate="19")
    response = at_desk.post(reverse("business-edit"), data)
    assert list(response.context["form"].errors) == ["tax_name"]


def test_the_currency_stays_once_there_are_commissions(at_desk, anna):
    asked(anna.studio)
    response = at_desk.post(reverse("business-edit"), settings_of(anna.studio, currency="EUR"))
    assert list(response.context["form"].errors) == ["currency"]


def test_she_adds_hours_of_work(at_desk, anna):
    data = {"weekday": 5, "start": "10:00", "end": "12:30"}
    assert at_desk.post(reverse("window-new"), data).url == reverse("business")
    window = anna.studio.windows.get(weekday=5)
    assert (window.start, window.end) == (time(10), time(12, 30))


@pytest.mark.parametrize(("start", "end"), [("12:00", "09:00"), ("12:00", "12:00")])
def test_hours_that_end_before_they_start_are_refused_and_stay_typed(start, end, at_desk, anna):
    response = at_desk.post(reverse("window-new"), {"weekday": 5, "start": start, "end": end})
    assert response.status_code == 422
    assert response.context["form"].errors == {"end": ["The hours must end after they start."]}
    assert f'value="{start}"' in response.content.decode()
    assert not anna.studio.windows.filter(weekday=5).exists()


@pytest.mark.parametrize(
    ("start", "end"), [("12:00", "13:30"), ("08:00", "18:00"), ("09:00", "13:00")]
)
def test_hours_that_overlap_others_of_that_day_are_refused(start, end, at_desk, anna):
    data = {"weekday": 4, "start": start, "end": end}
    response = at_desk.post(reverse("window-new"), data)
    assert response.context["form"].errors == {"start": ["These hours overlap Friday 09:00–13:00."]}
    assert anna.studio.windows.filter(weekday=4).count() == 2


def test_hours_may_touch_and_may_be_kept_as_they_are(at_desk, anna):
    data = {"weekday": 4, "start": "13:00", "end": "14:00"}
    assert at_desk.post(reverse("window-new"), data).status_code == 302
    window = anna.studio.windows.filter(weekday=4).first()
    data = {"weekday": 4, "start": "09:00", "end": "12:30", "seen_version": window.version}
    assert at_desk.post(reverse("window-edit", args=[window.pk]), data).status_code == 302
    window.refresh_from_db()
    assert window.end == time(12, 30)


def test_all_hours_may_be_removed(at_desk, anna):
    for window in anna.studio.windows.all():
        assert at_desk.post(reverse("window-remove", args=[window.pk])).status_code == 302
    assert at_desk.get(reverse("business")).status_code == 200


def test_days_off_include_their_first_and_last(at_desk, anna):
    data = {"first": "2027-08-02", "last": "2027-08-02", "reason": "Fair"}
    assert at_desk.post(reverse("day-off-new"), data).status_code == 302
    off = DayOff.objects.of(anna.studio).get()
    assert (off.first, off.last) == (date(2027, 8, 2), date(2027, 8, 2))


@pytest.mark.parametrize(
    ("first", "last", "field"),
    [
        ("2027-08-02", "2027-08-01", "last"),
        ("2027-02-30", "2027-03-01", "first"),
        ("0001-01-01", "2027-03-01", "first"),
        ("2027-03-01", "9999-12-31", "last"),
        ("2027-03-01", "", "last"),
    ],
)
def test_days_off_that_cannot_be_are_refused_beside_the_day(first, last, field, at_desk, anna):
    response = at_desk.post(reverse("day-off-new"), {"first": first, "last": last})
    assert response.status_code == 422
    assert list(response.context["form"].errors) == [field]
    assert not DayOff.objects.exists()


def test_ten_years_off_are_a_slip_of_the_pen(at_desk):
    data = {"first": "2027-08-02", "last": "2037-08-02"}
    response = at_desk.post(reverse("day-off-new"), data)
    assert response.context["form"].errors == {"last": ["That is 3,654 days off. Check the year."]}


@pytest.mark.parametrize(("last", "status"), [("2027-08-31", 302), ("2027-09-01", 422)])
def test_a_summer_is_the_longest_time_off_at_one_go(last, status, at_desk):
    # From 1 June, 30 + 31 + 31 days make 92.
    data = {"first": "2027-06-01", "last": last}
    assert at_desk.post(reverse("day-off-new"), data).status_code == status


@pytest.mark.parametrize(("ago", "kept"), [(1, True), (7, True), (8, False), (400, False)])
def test_a_day_off_long_over_is_not_written_down(ago, kept, at_desk, anna, clock):
    day = (clock.now - timedelta(days=ago)).date()
    answer = at_desk.post(reverse("day-off-new"), {"first": day, "last": day})
    assert answer.status_code == (302 if kept else 422)
    assert DayOff.objects.exists() is kept
    if not kept:
        assert list(answer.context["form"].errors) == ["last"]


def test_the_reason_of_a_day_off_long_over_may_be_mended(at_desk, anna, clock):
    off = keep_record(DayOff(studio=anna.studio, first="2020-01-01", last="2020-01-02"))
    data = {"first": "2020-01-01", "last": "2020-01-02", "reason": "Flu", "seen_version": 1}
    assert at_desk.post(reverse("day-off-edit", args=[off.pk]), data).status_code == 302


def test_days_off_in_another_year_are_shown_with_it(at_desk, anna, clock):
    for first, last in (("2026-12-30", "2027-01-02"), ("2026-11-09", "2026-11-09")):
        DayOff.objects.create(studio=anna.studio, first=first, last=last)
    page = at_desk.get(reverse("business")).content.decode()
    assert "Wed 30 Dec – 2 January 2027" in page
    assert "Mon 9 Nov<" in page


def test_only_places_one_lives_in_are_offered_as_time_zones(at_desk):
    form = at_desk.get(reverse("business-edit")).context["form"]
    zones = {zone for zone, _ in form.fields["time_zone"].choices}
    assert {"UTC", "Europe/London", "America/Argentina/Buenos_Aires", "Asia/Tokyo"} <= zones
    odd = ("Etc/", "posix", "right/", "SystemV/", "US/")
    assert [zone for zone in zones if zone.startswith(odd)] == []
    assert {zone for zone in zones if "/" not in zone} == {"UTC"}


def test_a_studio_keeps_the_time_zone_it_has(at_desk, anna):
    Studio.objects.filter(pk=anna.studio.pk).update(time_zone="Etc/GMT-1")
    anna.studio.refresh_from_db()
    data = settings_of(anna.studio, name="The Red Door")
    assert at_desk.post(reverse("business-edit"), data).status_code == 302


def test_a_percentage_out_of_bounds_is_told_what_a_percentage_is(at_desk, anna):
    response = at_desk.post(reverse("business-edit"), settings_of(anna.studio, deposit="101"))
    assert response.context["form"].errors == {"deposit": ["A percentage lies between 0 and 100."]}


def test_she_adds_someone_who_may_then_sign_in(at_desk, anna, client):
    data = {"name": "Dora", "email": "dora@example.org", "password": PASSWORD, "is_active": "on"}
    assert at_desk.post(reverse("person-new"), data).status_code == 302
    dora = Person.objects.get(name="Dora")
    assert dora.studio == anna.studio
    assert dora.check_password(PASSWORD)
    assert not dora.paints


def test_she_adds_a_helper_who_signs_in_nowhere(at_desk):
    data = {"name": "Dora", "paints": "on", "email": "", "password": ""}
    assert at_desk.post(reverse("person-new"), data).status_code == 302
    data["name"] = "Edda"
    assert at_desk.post(reverse("person-new"), data).status_code == 302
    dora = Person.objects.get(name="Dora")
    assert (dora.email, dora.is_active, dora.has_usable_password()) == (None, False, False)
    page = at_desk.get(reverse("business")).content.decode()
    assert page.count("no email") == 2


def test_whoever_may_sign_in_needs_an_email_and_a_password(at_desk, anna):
    data = {"name": "Dora", "paints": "on", "is_active": "on"}
    errors = at_desk.post(reverse("person-new"), data).context["form"].errors
    assert errors == {
        "email": ["An email is needed to sign in."],
        "password": ["A password is needed to sign in."],
    }
    at_desk.post(reverse("person-new"), {"name": "Dora", "paints": "on"})
    path = reverse("person-edit", args=[Person.objects.get(name="Dora").pk])
    errors = at_desk.post(path, {**data, "email": "dora@example.org"}).context["form"].errors
    assert list(errors) == ["password"]
    data |= {"email": "dora@example.org", "password": PASSWORD}
    assert at_desk.post(path, data).status_code == 302
    assert Person.objects.get(name="Dora").check_password(PASSWORD)


def test_who_paints_for_some_days_is_not_asked_to_sign_in(at_desk):
    days = "?paints_from=2026-11-09&paints_until=2026-11-13"
    form = at_desk.get(reverse("person-new") + days).context["form"]
    assert not form["is_active"].value()
    assert at_desk.get(reverse("person-new")).context["form"]["is_active"].value()


def test_one_letter_box_is_one_person(at_desk, anna, stranger):
    for taken in (anna.email.upper(), stranger.email):
        data = {"name": "Dora", "email": taken, "password": PASSWORD, "is_active": "on"}
        response = at_desk.post(reverse("person-new"), data)
        assert list(response.context["form"].errors) == ["email"]


def test_she_cannot_lock_herself_out(at_desk, anna):
    data = {"name": "Anna", "email": anna.email, "paints": "on", "password": ""}
    response = at_desk.post(reverse("person-edit", args=[anna.pk]), data)
    assert response.status_code == 422
    assert list(response.context["form"].errors) == ["is_active"]
    anna.refresh_from_db()
    assert anna.is_active


def test_she_may_end_a_team_mates_sign_in(at_desk, berit):
    data = {"name": "Berit", "email": berit.email, "password": ""}
    at_desk.post(reverse("person-edit", args=[berit.pk]), data)
    berit.refresh_from_db()
    assert not berit.is_active
    assert berit.check_password(PASSWORD)


def test_who_changes_her_own_password_stays_signed_in(at_desk, anna):
    data = {
        "name": "Anna", "email": anna.email, "is_active": "on", "password": "another long sentence",
    }  # fmt: skip
    assert at_desk.post(reverse("person-edit", args=[anna.pk]), data).status_code == 302
    assert at_desk.get(reverse("business")).status_code == 200
    anna.refresh_from_db()
    assert anna.check_password("another long sentence")


def test_a_stale_form_of_someone_overwrites_nothing(at_desk, berit):
    path = reverse("person-edit", args=[berit.pk])
    seen = at_desk.get(path).context["form"]["seen_version"].value()
    shown = {"name": "Berit", "email": berit.email, "is_active": "on", "seen_version": seen}
    ended = {**shown, "is_active": ""}
    assert at_desk.post(path, ended).status_code == 302
    renamed = {**shown, "name": "Berit B.", "password": "another long sentence"}
    answer = at_desk.post(path, renamed)
    assert answer.status_code == 422
    errors = answer.context["form"].errors
    assert errors["is_active"] == ["It now reads ‘not ticked’."]
    assert errors["password"] == ["Type the new password once more: it is never shown."]
    page = answer.content.decode()
    assert 'value="Berit B."' in page
    assert "another long sentence" not in page
    berit.refresh_from_db()
    assert (berit.name, berit.is_active) == ("Berit", False)
    assert berit.check_password(PASSWORD)
    assert berit.password not in page
    again = {**renamed, "seen_version": answer.context["form"]["seen_version"].value()}
    assert at_desk.post(path, again).status_code == 302
    berit.refresh_from_db()
    assert (berit.name, berit.is_active) == ("Berit B.", True)


def test_a_new_password_is_asked_for_again_when_the_form_is_refused(at_desk, anna, berit):
    data = {"name": "Berit", "email": anna.email, "password": "another long sentence"}
    answer = at_desk.post(reverse("person-edit", args=[berit.pk]), data)
    assert list(answer.context["form"].errors) == ["email", "password"]


def test_a_new_calendar_link_ends_the_old_one(at_desk, anna, client):
    old = reverse("feed", args=[anna.studio.feed_secret])
    assert client.get(old).status_code == 200
    at_desk.post(reverse("feed-renew"))
    anna.studio.refresh_from_db()
    assert client.get(old).status_code == 404
    assert client.get(reverse("feed", args=[anna.studio.feed_secret])).status_code == 200


def test_who_never_worked_here_is_removed(at_desk, berit):
    assert at_desk.post(reverse("person-remove", args=[berit.pk])).url == reverse("business")
    assert not Person.objects.filter(pk=berit.pk).exists()


def test_she_cannot_remove_herself(at_desk, anna):
    assert at_desk.post(reverse("person-remove", args=[anna.pk])).status_code == 422
    assert Person.objects.filter(pk=anna.pk).exists()


def test_whose_work_is_logged_stays_and_the_page_says_why(at_desk, record, berit, client):
    client.force_login(berit)
    response = client.post(reverse("person-remove", args=[record.person.pk]))
    assert response.status_code == 422
    assert "logged work" in response.content.decode()
    assert Person.objects.filter(pk=record.person.pk).exists()
