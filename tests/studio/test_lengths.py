"""Lengths typed and shown the studio's way."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from studio.forms import LOCALES
from studio.units import parse_length, parse_number, show_length, type_length

locales = st.sampled_from([code for code, _ in LOCALES])
lengths = st.integers(0, 100_000)
units = st.sampled_from(["cm", "in"])


@given(tenths=lengths, unit=units, locale=locales)
def test_a_length_saved_unread_from_its_form_is_unchanged(tenths, unit, locale):
    typed = type_length(tenths, unit=unit, locale=locale)
    assert parse_length(typed, unit=unit, locale=locale) == tenths


@given(tenths=lengths, locale=locales)
def test_what_is_shown_in_centimetres_can_be_typed_again(tenths, locale):
    shown = show_length(tenths, unit="cm", locale=locale)
    assert parse_length(shown, unit="cm", locale=locale) == tenths


@given(tenths=lengths, locale=locales)
def test_what_is_shown_in_inches_is_right_to_a_thirty_second(tenths, locale):
    shown = show_length(tenths, unit="in", locale=locale)
    assert abs(parse_length(shown, unit="in", locale=locale) - tenths) <= 254 / 32 + 0.5


@pytest.mark.parametrize(
    ("text", "unit", "locale", "tenths"),
    [
        ("46.5", "cm", "en_GB", 4650),
        ("46,5", "cm", "de_DE", 4650),
        ("1,234.5", "cm", "en_GB", 123450),
        ("1.234,5", "cm", "de_DE", 123450),
        ("46.5 cm", "in", "en_US", 4650),
        ("465 mm", "cm", "en_GB", 4650),
        ("18", "in", "en_US", 4572),
        ("18 1/2", "in", "en_US", 4699),
        ("18 1/2 in", "cm", "en_GB", 4699),
        ('3/4"', "cm", "en_GB", 191),
        ("3/4”", "in", "en_US", 191),
        ("18.5", "in", "en_US", 4699),
        ("  20  ", "cm", "en_GB", 2000),
        ("0", "cm", "en_GB", 0),
        ("-5", "cm", "en_GB", -500),
    ],
)
def test_a_length_is_read_as_it_stands_on_the_rule(text, unit, locale, tenths):
    assert parse_length(text, unit=unit, locale=locale) == tenths


@pytest.mark.parametrize(
    "text",
    [
        "", " ", "wide", "1/0", "1/x", "x 1/2", "inf", "nan", "1e999", "1e3", "1_0", "9" * 40,
        "5 ft", "--5", "1//2", "1 -3/4", "1_0/2", "1.5/2", f"{'9' * 40} 1/2", f"{'9' * 40}/2",
    ],
)  # fmt: skip
@pytest.mark.parametrize("unit", ["cm", "in"])
def test_what_is_no_length_is_said_to_be_none(text, unit):
    with pytest.raises(ValueError):  # noqa: PT011 (the sentence is the field's)
        parse_length(text, unit=unit, locale="en_GB")


@pytest.mark.parametrize(("text", "locale"), [("46.5", "de_DE"), ("46,5", "en_GB")])
def test_the_other_countrys_decimal_mark_is_asked_about_not_read_as_thousands(text, locale):
    with pytest.raises(ValueError):  # noqa: PT011
        parse_number(text, locale=locale)


@pytest.mark.parametrize(
    ("tenths", "words"),
    [(0, "0 in"), (254, "1 in"), (127, "1/2 in"), (381, "1 1/2 in"), (16, "1/16 in")],
)
def test_inches_are_shown_as_fractions(tenths, words):
    assert show_length(tenths, unit="in", locale="en_US") == words


def test_a_millimetre_measure_in_a_studio_of_inches_comes_back_in_millimetres():
    assert type_length(1003, unit="in", locale="en_US") == "100.3 mm"
