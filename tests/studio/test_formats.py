"""Money, numbers and times as the studio reads them, held against Babel used directly."""

from datetime import UTC, date, datetime, timedelta
from decimal import Decimal

import pytest
from babel.numbers import format_currency, get_currency_precision
from hypothesis import given
from hypothesis import strategies as st

from studio.formats import (
    parse_money,
    show_date,
    show_day,
    show_figures,
    show_minutes,
    show_money,
    show_stretch,
    show_when,
    to_major,
    to_minor,
    type_money,
)
from studio.forms import COMMON_CURRENCIES, LOCALES
from studio.models import Studio

amounts = st.integers(0, 10**11)
studios = st.builds(
    Studio,
    currency=st.sampled_from(sorted(COMMON_CURRENCIES)),
    locale=st.sampled_from([code for code, _ in LOCALES]),
)


@pytest.mark.parametrize(
    ("locale", "currency", "minor", "major"),
    [
        ("en_GB", "GBP", 123450, "1234.50"),
        ("de_AT", "EUR", 123450, "1234.50"),
        ("fr_FR", "EUR", 5, "0.05"),
        ("ja_JP", "JPY", 1234, "1234"),
        ("en_US", "KWD", 1234567, "1234.567"),
    ],
)
def test_money_is_shown_as_babel_shows_its_major_units(locale, currency, minor, major):
    studio = Studio(locale=locale, currency=currency)
    assert show_money(minor, studio) == format_currency(Decimal(major), currency, locale=locale)


@given(minor=amounts, studio=studios)
def test_an_amount_saved_unread_from_its_form_is_unchanged(minor, studio):
    assert parse_money(type_money(minor, studio), studio) == minor


@given(minor=amounts, currency=st.sampled_from(sorted(COMMON_CURRENCIES)))
def test_major_and_minor_units_are_the_same_money(minor, currency):
    major = to_major(minor, currency)
    assert major * 10 ** get_currency_precision(currency) == minor
    assert to_minor(major, currency) == minor


@pytest.mark.parametrize(
    "text", ["", "a lot", "inf", "nan", "1e99", "1e3", "1_000", "9" * 40, "1,5", "1.250", "2.345"]
)
def test_what_is_no_amount_is_said_to_be_none(text):
    with pytest.raises(ValueError):  # noqa: PT011
        parse_money(text, Studio(locale="en_GB", currency="GBP"))


@pytest.mark.parametrize(
    ("text", "locale", "currency", "minor"),
    [
        ("1,250", "en_GB", "GBP", 125_000),
        ("1.250", "de_DE", "EUR", 125_000),
        ("1.250", "en_US", "KWD", 1_250),
        ("12.5", "en_GB", "GBP", 1_250),
        ("12", "ja_JP", "JPY", 12),
    ],
)
def test_an_amount_is_read_by_the_marks_of_its_locale(text, locale, currency, minor):
    assert parse_money(text, Studio(locale=locale, currency=currency)) == minor


def test_a_currency_without_decimals_takes_none():
    with pytest.raises(ValueError, match=r"12\.50"):
        parse_money("12.50", Studio(locale="en_US", currency="JPY"))


def test_half_a_penny_is_rounded_up():
    assert to_minor(Decimal("2.345"), "GBP") == 235


@pytest.mark.parametrize(
    ("locale", "figures"), [("de_DE", "9.2.2027"), ("ja_JP", "2027/2/9"), ("fr_FR", "09/02/2027")]
)
def test_a_day_in_figures_stands_in_the_order_of_the_locale(locale, figures):
    # The figures are those of the Unicode CLDR skeleton yMd, from memory.
    assert show_figures(date(2027, 2, 9), Studio(locale=locale)) == figures


@pytest.mark.parametrize(
    ("locale", "long", "short"),
    [
        ("de_DE", "9.2.2027", "Tue 9.2."),
        ("fr_FR", "09/02/2027", "Tue 09/02"),
        ("en_GB", "9 February 2027", "Tue 9 Feb"),
        ("en_US", "February 9, 2027", "Tue, Feb 9"),
    ],
)
def test_no_month_or_weekday_of_another_tongue_stands_in_an_english_sentence(locale, long, short):
    # The orders are those of the Unicode CLDR, from memory; 9 February 2027 is a Tuesday.
    studio, day = Studio(locale=locale), date(2027, 2, 9)
    assert show_date(day, studio) == long
    assert show_day(day, studio) == short


@pytest.mark.parametrize(
    ("minutes", "words"), [(0, "0 min"), (45, "45 min"), (60, "1 h"), (150, "2 h 30")]
)
def test_a_stretch_of_work_is_told_in_hours_and_minutes(minutes, words):
    assert show_minutes(minutes) == words


def test_the_day_is_told_in_the_studios_own_time():
    # 23:30 UTC on the 24th is already half past midnight on the 25th in Rome.
    studio = Studio(locale="en_GB", time_zone="Europe/Rome")
    now = datetime(2026, 11, 24, 23, 30, tzinfo=UTC)
    assert show_when(now, studio, now=now) == "today 00:30"
    assert show_when(now + timedelta(days=1), studio, now=now) == "tomorrow 00:30"


def test_an_hour_across_the_clock_change_is_told_as_the_clock_shows_it():
    # In Rome the clock goes from 01:59:59 to 03:00 on 29 March 2026 (European Union rule).
    studio = Studio(locale="en_GB", time_zone="Europe/Rome")
    before = datetime(2026, 3, 29, 0, 59, tzinfo=UTC)
    assert show_when(before, studio, now=before) == "today 01:59"
    assert show_when(before + timedelta(minutes=1), studio, now=before) == "today 03:00"


@given(minor=st.integers(-(10**12), 10**12), currency=st.sampled_from(["JPY", "EUR", "KWD"]))
def test_minor_units_come_back_as_they_went(minor, currency):
    assert to_minor(to_major(minor, currency), currency) == minor


@pytest.mark.parametrize(
    ("stretch", "told"),
    [
        (timedelta(0), "0 min"),
        (timedelta(minutes=44, seconds=10), "45 min"),
        (timedelta(minutes=61), "2 h"),
        (timedelta(hours=47), "47 h"),
        (timedelta(hours=49), "2,5 days"),
        (timedelta(days=1200), "1.200 days"),
    ],
)
def test_a_wait_is_told_rounded_up_in_the_unit_one_waits_in(stretch, told):
    assert show_stretch(stretch, Studio(locale="de_DE")) == told
