"""Forms of the business, and the base that every record's form stands on."""

from copy import copy
from zoneinfo import available_timezones

from babel import Locale, UnknownLocaleError
from babel.numbers import list_currencies
from django import forms
from django.conf import settings
from django.contrib.auth import password_validation
from django.contrib.auth.forms import AuthenticationForm
from django.core.exceptions import ValidationError
from django.db import models

from studio.domain.records import GONE
from studio.fields import MoneyField, NumberField, StudioField
from studio.models import Record, Studio
from studio.models.studio import NO_PERCENT
from studio.signals import why_held

LOCALES = [
    ("en_GB", "English (United Kingdom)"), ("en_IE", "English (Ireland)"),
    ("en_US", "English (United States)"), ("en_CA", "English (Canada)"),
    ("en_AU", "English (Australia)"), ("de_DE", "German (Germany)"),
    ("de_AT", "German (Austria)"), ("de_CH", "German (Switzerland)"),
    ("fr_FR", "French (France)"), ("fr_CA", "French (Canada)"), ("nl_NL", "Dutch"),
    ("it_IT", "Italian"), ("es_ES", "Spanish"), ("pt_PT", "Portuguese"), ("pl_PL", "Polish"),
    ("cs_CZ", "Czech"), ("sv_SE", "Swedish"), ("nb_NO", "Norwegian"), ("da_DK", "Danish"),
    ("fi_FI", "Finnish"), ("ja_JP", "Japanese"),
]  # fmt: skip


OUR_WORDS = {
    "min_value": "At least %(limit_value)s.",
    "max_value": "At most %(limit_value)s.",
    "max_length": "At most %(limit_value)d letters.",
}
REGIONS = frozenset(
    [
        "Africa", "America", "Antarctica", "Arctic", "Asia", "Atlantic", "Australia", "Europe",
        "Indian", "Pacific",
    ]
)  # fmt: skip
"""Regions of the tz database; its other names are former ones and fixed offsets."""


def speak_plainly(form: forms.BaseForm) -> None:
    """Give the fields of a form our sentences in place of the framework's."""
    for field in form.fields.values():
        field.error_messages["required"] = "This cannot stay empty."
        for code, sentence in OUR_WORDS.items():
            field.error_messages.setdefault(code, sentence)


class StudioFormMixin:
    """Binds the fields of a form to a studio."""

    def bind_studio(self, studio: Studio) -> None:
        self.studio = studio
        speak_plainly(self)
        for field in self.fields.values():
            if isinstance(field, StudioField):
                field.studio = studio


class StudioForm(StudioFormMixin, forms.Form):
    """A form that is no record."""

    def __init__(self, studio: Studio, *args, **kwargs) -> None:
        super().__init__(*args, **kwargs)
        self.bind_studio(studio)


class RecordForm(StudioFormMixin, forms.ModelForm):
    """A form of a record; it carries the version it was drawn from.

    What is typed goes into a copy of the record, so that a page refused still tells what is kept.
    """

    seen_version = forms.IntegerField(widget=forms.HiddenInput, required=False)

    def __init__(self, studio: Studio, *args, instance: Record | None = None, **kwargs) -> None:
        super().__init__(*args, instance=copy(instance), **kwargs)
        self.bind_studio(studio)
        if self.instance.pk:
            self.fields["seen_version"].initial = self.instance.version

    @property
    def seen(self) -> int | None:
        """Return the version the painter saw, or None for a new record."""
        return self.cleaned_data.get("seen_version") if self.instance.pk else None

    def see_again(self) -> None:
        """Show what the record says now beside each field that differs, and count it as seen.

        Saving once more is then meant.
        """
        now = self.as_kept()
        self.data = self.data.copy()
        self.data[self.add_prefix("seen_version")] = now.version if now else GONE
        if now is None:
            return
        for name, typed in list(self.cleaned_data.items()):
            kept = getattr(now, name, typed)
            if kept != typed and name in self._meta.fields:
                self.add_error(name, f"It now reads ‘{self._told(now, name, kept)}’.")

    def as_kept(self) -> Record | None:
        """Return the record as it is kept now, whatever was typed here; None where it is gone."""
        return type(self.instance).objects.filter(pk=self.instance.pk).first()

    def _told(self, record: models.Model, name: str, value: object) -> str:
        if hasattr(record, f"get_{name}_display"):
            return getattr(record, f"get_{name}_display")()
        if isinstance(value, bool):
            return "ticked" if value else "not ticked"
        return str(self.fields[name].prepare_value(value) if value is not None else "")


class StudioSettingsForm(RecordForm):
    hourly_cost = MoneyField(
        help_text="What one hour at the bench must earn: your wage, overheads and unpaid hours."
    )
    currency = forms.ChoiceField(choices=[])
    locale = forms.ChoiceField(label="Numbers and dates as in", choices=LOCALES)
    time_zone = forms.ChoiceField(choices=[])

    class Meta:
        model = Studio
        fields = [
            "name", "address", "email", "phone", "currency", "unit", "locale", "time_zone",
            "hourly_cost", "tax_name", "tax_rate", "contingency", "deposit", "valid_days",
            "terms", "room_temperature", "room_humidity", "room_airing", "dry_enough", "rack",
            "frozen_days",
        ]  # fmt: skip
        labels = {
            "name": "Name of the studio",
            "unit": "Measure in",
            "tax_name": "Tax is called",
            "tax_rate": "Tax rate, %",
            "contingency": "Contingency, %",
            "deposit": "Deposit, % of the total",
            "valid_days": "An estimate is valid for, days",
            "terms": "Terms printed on the estimate",
            "room_temperature": "Room temperature, °C",
            "room_humidity": "Room humidity, %",
            "dry_enough": "Count on a coat when so many of 100 are dry",
            "room_airing": "The air of the room is",
            "rack": "Parts the drying rack holds",
            "frozen_days": "Days ahead that stay as planned",
        }
        field_classes = dict.fromkeys(("tax_rate", "contingency", "deposit"), NumberField)
        error_messages = {
            name: {"min_value": NO_PERCENT, "max_value": NO_PERCENT} for name in field_classes
        }
        help_texts = {
            "address": "Printed at the head of your papers; add your tax number if you must show "
            "it.",
            "terms": "Say here, too, how the deposit is to be paid.",
            "tax_rate": "Leave empty if you charge no tax.",
            "contingency": "Added to every estimate for what cannot be foreseen.",
            "room_temperature": "Paint dries more slowly in a cold room; the programme counts it "
            "from now on. What has dried so far dried in the room as it was.",
            "dry_enough": "80: in four cases of five it is dry by the hour the programme counts "
            "on. More waits longer and disappoints less often.",
            "rack": "Doors, drawer fronts and lids that may be wet at once. Leave empty if there "
            "is always room.",
            "frozen_days": "After today. In them a new plan moves only what it must.",
        }
        widgets = {
            "address": forms.Textarea(attrs={"rows": 3}),
            "terms": forms.Textarea(attrs={"rows": 5}),
        }

    def __init__(self, *args, **kwargs) -> None:
        super().__init__(*args, **kwargs)
        kept = self.instance.time_zone
        self.fields["time_zone"].choices = [(z, z) for z in sorted({*time_zones(), kept})]
        self.fields["currency"].choices = currency_choices(self.studio.locale)
        if self.is_bound:
            self.bind_chosen()

    def bind_chosen(self) -> None:
        """Read numbers in the currency and locale chosen here, or else as the page showed them."""
        chosen = self.as_chosen()
        shown = copy(chosen)
        shown.locale = self.studio.locale
        self.bind_studio(chosen)
        for name, field in self.fields.items():
            if isinstance(field, StudioField):
                field.shown, field.kept = shown, self.get_initial_for_field(field, name)

    def as_chosen(self) -> Studio:
        """Return the studio with the currency and locale of this very form, where they exist."""
        chosen = copy(self.studio)
        if self.data.get("currency") in COMMON_CURRENCIES:
            chosen.currency = self.data["currency"]
        if self.data.get("locale") in dict(LOCALES):
            chosen.locale = self.data["locale"]
        return chosen

    def clean_currency(self) -> str:
        value = self.cleaned_data["currency"]
        changed = self.instance.pk and value != self.initial["currency"]
        if changed and (reason := why_held(self.instance)):
            raise ValidationError(f"{reason} Their prices would change their meaning.")
        return value

    def clean_room_temperature(self) -> int:
        value = self.cleaned_data["room_temperature"]
        if not -5 <= value <= 45:
            raise ValidationError("Type the temperature of the room in °C, between -5 and 45.")
        return value

    def clean_room_humidity(self) -> int:
        value = self.cleaned_data["room_humidity"]
        if value > 100:
            raise ValidationError("Humidity is a percentage, 0 to 100.")
        return value

    def clean_dry_enough(self) -> int:
        value = self.cleaned_data["dry_enough"]
        if not 50 <= value <= 99:
            raise ValidationError("Type how many of 100 cases, 50 to 99.")
        return value

    def clean_valid_days(self) -> int:
        value = self.cleaned_data["valid_days"]
        if not 1 <= value <= 365:
            raise ValidationError("An estimate is valid for 1 to 365 days.")
        return value

    def clean(self) -> dict:
        data = super().clean()
        if data.get("tax_rate") and not data.get("tax_name"):
            self.add_error("tax_name", "Say what the tax is called: it is printed on the estimate.")
        return data


def time_zones() -> list[str]:
    """Return the time zones one lives in, by region and city, and UTC."""
    zones = available_timezones()
    return sorted(z for z in zones if z == "UTC" or (z.partition("/")[0] in REGIONS and "/" in z))


def currency_choices(locale: str) -> list[tuple[str, str]]:
    """Return currencies in use by code and name, in the studio's language where it is known."""
    try:
        names = Locale.parse(locale).currencies
    except (UnknownLocaleError, ValueError):
        names = {}
    codes = sorted(code for code in list_currencies() if code in COMMON_CURRENCIES)
    return [(code, f"{code} {names.get(code, '')}".strip()) for code in codes]


COMMON_CURRENCIES = frozenset(
    [
        "AUD", "BGN", "BRL", "CAD", "CHF", "CLP", "CNY", "CZK", "DKK", "EUR", "GBP", "HKD", "HUF",
        "IDR", "ILS", "INR", "ISK", "JPY", "KRW", "KWD", "MXN", "NOK", "NZD", "PHP", "PLN", "RON",
        "RSD", "SEK", "SGD", "THB", "TND", "TRY", "TWD", "UAH", "USD", "ZAR",
    ]
)  # fmt: skip


class BeginForm(StudioSettingsForm):
    """The first page: who you are and how you count. The rest has usual values to change later."""

    person_name = forms.CharField(label="Your name", max_length=80)
    person_email = forms.EmailField(label="Your email, to sign in")
    password = forms.CharField(
        widget=forms.PasswordInput(attrs={"autocomplete": "new-password"}),
        strip=False,
        help_text="At least 12 characters; a short sentence is easy to remember.",
    )

    class Meta(StudioSettingsForm.Meta):
        fields = ["name", "currency", "unit", "locale", "time_zone", "hourly_cost"]

    field_order = ["name", "person_name", "person_email", "password"]

    def clean_password(self) -> str:
        password_validation.validate_password(self.cleaned_data["password"])
        return self.cleaned_data["password"]


class SignInForm(AuthenticationForm):
    """Email and password; after too many wrong ones it says how long to wait."""

    def get_invalid_login_error(self) -> ValidationError:
        if not getattr(self.request, "axes_locked_out", False):
            return super().get_invalid_login_error()
        minutes = settings.AXES_COOLOFF_TIME.seconds // 60
        return ValidationError(
            f"That was {settings.AXES_FAILURE_LIMIT} wrong passwords for this email. To keep "
            f"strangers out, it has to rest for {minutes} minutes; then try again."
        )
