"""Form fields in the painter's measures. Each is bound to a studio by StudioForm."""

from collections.abc import Callable
from datetime import date, datetime, time
from decimal import Decimal

from django import forms

from studio import formats, units
from studio.models import Studio
from studio.units import parse_number

TEN_METRES = 100_000
SAMPLES = {"cm": 4650, "in": 4699}
"""A length for examples, with its decimal or fraction: 46.5 cm, 18 1/2 in."""


class StudioField(forms.CharField):
    """A field that reads and writes in the studio's unit, currency or locale.

    A form in which the locale itself may change sets `shown`: the studio in whose way the page
    was written, with `kept`, the value it showed.
    """

    studio: Studio
    shown: Studio | None = None
    kept: object = None

    def __init__(self, **kwargs) -> None:
        super().__init__(**kwargs)
        self.widget.attrs.setdefault("inputmode", "decimal")
        self.widget.attrs.setdefault("autocomplete", "off")

    def write(self, value, studio: Studio) -> str:
        """Return a kept value as it is typed in the studio's way."""
        raise NotImplementedError

    def prepare_value(self, value):
        return value if value is None or isinstance(value, str) else self.write(value, self.studio)

    def read[T](self, text: str, parse: Callable[[str, Studio], T]) -> T:
        """Return what was typed, in the studio's way or else in the one the page was shown in.

        A text left as it was shown is read as it was written: 35.000 keeps its meaning in a
        locale where the point marks thousands. Raises ValueError where neither reads it.
        """
        if self.shown is None:
            return parse(text, self.studio)
        untouched = self.kept is not None and text == self.write(self.kept, self.shown)
        ways = [self.studio, self.shown]
        first, second = reversed(ways) if untouched else ways
        try:
            return parse(text, first)
        except ValueError:
            return parse(text, second)


class LengthField(StudioField):
    """A length: an int of tenths of a millimetre, from `least` to ten metres."""

    def __init__(self, *, least: int = 1, **kwargs) -> None:
        self.least = least
        super().__init__(**kwargs)

    @property
    def example(self) -> str:
        """Return a length as it may be typed in this studio."""
        return self.write(SAMPLES[self.studio.unit], self.studio)

    def write(self, value: int, studio: Studio) -> str:
        return units.type_length(value, unit=studio.unit, locale=studio.locale)

    def clean(self, value) -> int | None:
        text = super().clean(value)
        if not text:
            return None
        try:
            tenths = units.parse_length(text, unit=self.studio.unit, locale=self.studio.locale)
        except ValueError as error:
            unit = self.studio.get_unit_display()
            raise forms.ValidationError(
                f"‘{text}’ is not a length. Type it like {self.example} (in {unit})."
            ) from error
        if tenths < self.least:
            zero = "be less than nothing" if self.least == 0 else "be zero or less"
            raise forms.ValidationError(f"A length here cannot {zero}.")
        if tenths > TEN_METRES:
            raise forms.ValidationError(
                "That is more than ten metres. Check the number and its unit."
            )
        return tenths


class MoneyField(StudioField):
    """An amount: an int of minor units of the studio's currency, never negative."""

    def write(self, value: int, studio: Studio) -> str:
        return formats.type_money(value, studio)

    def clean(self, value) -> int | None:
        text = super().clean(value)
        if not text:
            return None
        try:
            minor = self.read(text, formats.parse_money)
        except ValueError as error:
            how = formats.type_money(123450, self.studio)
            raise forms.ValidationError(
                f"‘{text}’ is not an amount in {self.studio.currency}. Type it like {how}."
            ) from error
        if minor < 0:
            raise forms.ValidationError("An amount cannot be negative.")
        if minor > 10**11:
            raise forms.ValidationError("That is more than any commission costs. Check it.")
        return minor


class NumberField(StudioField):
    """A Decimal in the studio's own way of writing: 7.7 or 7,7. Bounds are the model's."""

    def __init__(self, *, max_digits: int, decimal_places: int, **kwargs) -> None:
        self.decimal_places = decimal_places
        self.most = Decimal(10) ** (max_digits - decimal_places)
        super().__init__(**kwargs)

    def write(self, value: Decimal, studio: Studio) -> str:
        return units.type_number(Decimal(value), locale=studio.locale)

    def clean(self, value) -> Decimal | None:
        text = super().clean(value)
        if not text:
            return None
        try:
            number = self.read(text, lambda typed, way: parse_number(typed, locale=way.locale))
        except ValueError as error:
            how = self.write(Decimal("7.5"), self.studio)
            raise forms.ValidationError(f"‘{text}’ is not a number. Type it like {how}.") from error
        if abs(number) >= self.most:
            raise forms.ValidationError("That is far too much. Check the number.")
        if number != round(number, self.decimal_places):
            raise forms.ValidationError(
                f"At most {self.decimal_places} figures stand after the point."
            )
        return number


class DayInput(forms.DateInput):
    input_type = "date"

    def __init__(self, **kwargs) -> None:
        super().__init__(format="%Y-%m-%d", **kwargs)


class ClockInput(forms.TimeInput):
    input_type = "time"

    def __init__(self, **kwargs) -> None:
        super().__init__(format="%H:%M", **kwargs)


class MomentInput(forms.DateTimeInput):
    input_type = "datetime-local"

    def __init__(self, **kwargs) -> None:
        super().__init__(format="%Y-%m-%dT%H:%M", **kwargs)


def day_field(**kwargs) -> forms.DateField:
    return forms.DateField(
        widget=DayInput(), error_messages={"invalid": "Type a day like 2027-03-14."}, **kwargs
    )


def far_from_life(value: date | datetime | time) -> bool:
    """Return whether a date is a slip of the pen: before 1900 or after 2200."""
    return not isinstance(value, time) and not 1900 <= value.year <= 2200


def day_of_life(day: date | None) -> date | None:
    """Return a day as it was typed; ValidationError for a slip of the pen in its year."""
    if day and far_from_life(day):
        raise forms.ValidationError("Check the year.")
    return day
