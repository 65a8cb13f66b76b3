"""Fields in the painter's measures: what they show and advise, they read themselves."""

import re
from decimal import Decimal

import pytest
from django.forms import ValidationError
from hypothesis import given
from hypothesis import strategies as st

from jobs.forms import PanelForm
from jobs.models import Panel, Piece, Surface
from studio.fields import LengthField, MoneyField, NumberField, StudioField
from studio.forms import COMMON_CURRENCIES, LOCALES
from studio.models import Studio

studios = st.builds(
    Studio,
    unit=st.sampled_from(Studio.Unit.values),
    currency=st.sampled_from(sorted(COMMON_CURRENCIES)),
    locale=st.sampled_from([code for code, _ in LOCALES]),
)


def fields_of(studio: Studio) -> dict[str, StudioField]:
    fields = {
        "length": LengthField(),
        "money": MoneyField(),
        "number": NumberField(max_digits=6, decimal_places=3),
    }
    for field in fields.values():
        field.studio = studio
    return fields


@given(studio=studios)
def test_an_example_that_a_field_gives_is_read_by_the_field(studio):
    for name, field in fields_of(studio).items():
        with pytest.raises(ValidationError) as refused:
            field.clean("as long as my arm")
        [sentence] = refused.value.messages
        example = re.search(r"Type it like (.+?)(?: \(in \w+\))?\.$", sentence)[1]
        assert field.clean(example), (name, example)


@given(
    studio=studios,
    length=st.integers(1, 100_000),
    amount=st.integers(0, 10**11),
    number=st.integers(0, 999_999).map(lambda thousandths: Decimal(thousandths) / 1000),
)
def test_what_a_field_shows_is_read_by_the_field_as_it_is_kept(studio, length, amount, number):
    fields = fields_of(studio)
    for name, kept in (("length", length), ("money", amount), ("number", number)):
        assert fields[name].clean(fields[name].prepare_value(kept)) == kept, name


@pytest.mark.parametrize(
    ("locale", "unit", "example"),
    # Decimal marks by the Unicode CLDR, from memory: a point in Switzerland, else a comma.
    [
        ("de_CH", "cm", "46.5"),
        ("de_AT", "cm", "46,5"),
        ("sv_SE", "cm", "46,5"),
        ("en_GB", "cm", "46.5"),
        ("en_US", "in", "18 1/2"),
    ],
)
def test_the_example_of_a_length_has_the_decimal_mark_of_its_locale(locale, unit, example):
    field = fields_of(Studio(locale=locale, unit=unit))["length"]
    with pytest.raises(ValidationError, match=re.escape(f"like {example} (in")):
        field.clean("wide")


@pytest.mark.parametrize("unit", Studio.Unit.values)
@pytest.mark.parametrize("locale", [code for code, _ in LOCALES])
def test_the_example_of_a_corner_is_read_as_a_corner(locale, unit, anna):
    Studio.objects.update(locale=locale, unit=unit)
    studio = Studio.objects.get()
    panel = Panel(surface=Surface(piece=Piece()))
    help_text = PanelForm(studio, instance=panel).fields["corners"].help_text
    example = re.search(r"Type two lengths, like (.+)$", help_text)[1]
    form = PanelForm(studio, instance=panel, data={"kind": "polygon", "corners": example})
    form.is_valid()
    assert form.cleaned_data["corners"] == [(0, {"cm": 4650, "in": 4699}[unit])]
