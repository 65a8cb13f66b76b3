"""Forms of when the studio works, and who belongs to it."""

from datetime import date, timedelta

from django import forms
from django.contrib.auth import password_validation
from django.core.exceptions import ValidationError
from django.utils import timezone

from studio.domain.hours import works_then
from studio.fields import ClockInput, day_field, far_from_life
from studio.formats import local, show_number, show_time
from studio.forms import RecordForm
from studio.models import DatedHours, DayOff, Person, WorkingWindow

LONGEST_OFF = 92
"""Days off at one go: a summer's worth. More is a slip of the pen in the year."""
LATEST_PAST = timedelta(days=7)
"""A day off is written down up to a week after it: common practice, no source."""


class WorkingWindowForm(RecordForm):
    class Meta:
        model = WorkingWindow
        fields = ["weekday", "start", "end"]
        widgets = {"start": ClockInput(), "end": ClockInput()}
        labels = {"start": "From", "end": "To"}

    def clean(self) -> dict:
        data = super().clean()
        if data.get("start") and data.get("end") and data["end"] <= data["start"]:
            self.add_error("end", "The hours must end after they start.")
        if not self.errors:
            self._check_overlap(data)
        return data

    def _check_overlap(self, data: dict) -> None:
        day = self.studio.windows.filter(weekday=data["weekday"]).exclude(pk=self.instance.pk)
        other = day.filter(start__lt=data["end"], end__gt=data["start"]).first()
        if other:
            start, end = (show_time(hour, self.studio) for hour in (other.start, other.end))
            sentence = f"These hours overlap {other.get_weekday_display()} {start}–{end}."
            self.add_error("start", sentence)


class DatedHoursForm(RecordForm):
    day = day_field(label="On the day")

    class Meta:
        model = DatedHours
        fields = ["kind", "day", "start", "end", "person", "note"]
        widgets = {
            "kind": forms.RadioSelect,
            "start": ClockInput(),
            "end": ClockInput(),
        }
        labels = {
            "kind": "They are",
            "start": "From",
            "end": "To",
            "person": "Whose hours",
            "note": "What for",
        }
        help_texts = {
            "person": "A visit or an errand takes away only whoever is named.",
            "note": "A client looks at the samples, timber to fetch, a long evening …",
        }

    def __init__(self, *args, **kwargs) -> None:
        super().__init__(*args, **kwargs)
        self.fields["kind"].choices = DatedHours.Kind.choices
        self.fields["person"].queryset = self.studio.people.all()
        self.fields["person"].empty_label = "everyone’s"

    def clean_day(self) -> date:
        day = self.cleaned_data["day"]
        if far_from_life(day):
            raise ValidationError("Check the year.")
        today = local(timezone.now(), self.studio).date()
        if "day" in self.changed_data and day < today - LATEST_PAST:
            raise ValidationError("That day is over, and nothing is planned in it.")
        return day

    def clean(self) -> dict:
        data = super().clean()
        if data.get("start") and data.get("end") and data["end"] <= data["start"]:
            self.add_error("end", "The hours must end after they start, before midnight.")
        if data.get("kind") == DatedHours.Kind.EXTRA and self._is_off(data.get("day")):
            self.add_error("day", "You have that day off. Take it from the days off first.")
        elif not self.errors and data["kind"] == DatedHours.Kind.EXTRA:
            self._check_longer(data)
        return data

    def _check_longer(self, data: dict) -> None:
        whose, span = data["person"], (data["day"], data["start"], data["end"])
        if works_then(self.studio, *span, person=whose, besides=self.instance):
            who = f"{whose.name} works" if whose else "You work"
            self.add_error("start", f"{who} then already.")

    def _is_off(self, day: date | None) -> bool:
        return self.studio.days_off.filter(first__lte=day, last__gte=day).exists() if day else False


class DayOffForm(RecordForm):
    first = day_field(label="First day off")
    last = day_field(label="Last day off")

    class Meta:
        model = DayOff
        fields = ["first", "last", "reason"]

    def clean(self) -> dict:
        data = super().clean()
        for field in ("first", "last"):
            if data.get(field) and far_from_life(data[field]):
                self.add_error(field, "Check the year.")
        if data.get("first") and data.get("last") and data["last"] < data["first"]:
            self.add_error("last", "The last day off comes before the first.")
        if "last" in self.changed_data and not self.errors:
            today = local(timezone.now(), self.studio).date()
            if data["last"] < today - LATEST_PAST:
                self.add_error("last", "Those days are over, and nothing is planned in them.")
        if not self.errors:
            days = (data["last"] - data["first"]).days + 1
            if days > LONGEST_OFF:
                told = show_number(days, self.studio)
                self.add_error("last", f"That is {told} days off. Check the year.")
        return data


class PersonForm(RecordForm):
    """Someone of the studio; email and password are asked only of whoever may sign in."""

    password = forms.CharField(
        widget=forms.PasswordInput(attrs={"autocomplete": "new-password"}),
        strip=False,
        required=False,
        help_text="Needed only by whoever may sign in.",
    )

    paints_from = day_field(
        label="First day of painting here",
        required=False,
        help_text="For someone who comes for a week, say. Leave both days empty for someone who "
        "belongs to the studio.",
    )
    paints_until = day_field(label="Last day of painting here", required=False)

    class Meta:
        model = Person
        fields = ["name", "paints", "paints_from", "paints_until", "is_active", "email"]
        labels = {"paints": "Paints: the programme plans their hours", "is_active": "May sign in"}
        help_texts = {
            "is_active": "Who may not sign in is planned all the same, and gets no reminders.",
            "email": "Needed only by whoever may sign in; reminders go there.",
        }
        error_messages = {"email": {"unique": "Someone already signs in with this email."}}

    def __init__(self, *args, **kwargs) -> None:
        super().__init__(*args, **kwargs)
        for name in ("email", "password"):
            # Not called optional: whoever may sign in must have it.
            self.fields[name].for_sign_in = True
        if self._has_password():
            self.fields["password"].label = "New password (leave empty to keep the old one)"

    def _has_password(self) -> bool:
        return bool(self.instance.pk and self.instance.has_usable_password())

    def clean(self) -> dict:
        data = super().clean()
        for name in ("paints_from", "paints_until"):
            if data.get(name) and far_from_life(data[name]):
                self.add_error(name, "Check the year.")
        first, last = data.get("paints_from"), data.get("paints_until")
        if first and last and last < first:
            self.add_error("paints_until", "The last day comes before the first.")
        if data.get("is_active"):
            if "email" in data and not data["email"]:
                self.add_error("email", "An email is needed to sign in.")
            if "password" in data and not data["password"] and not self._has_password():
                self.add_error("password", "A password is needed to sign in.")
        if self.errors:
            self._ask_again_for_password()
        return data

    def add_error(self, field: str | None, error: object) -> None:
        super().add_error(field, error)
        if field != "password":
            self._ask_again_for_password()

    def _ask_again_for_password(self) -> None:
        """Say that a new password is lost with a refused form: a page never carries one back."""
        if self.instance.pk and self.cleaned_data.get("password"):
            super().add_error("password", "Type the new password once more: it is never shown.")

    def clean_email(self) -> str | None:
        email = self.cleaned_data["email"]
        if not email:
            return None
        same = Person.objects.filter(email__iexact=email).exclude(pk=self.instance.pk)
        if same.exists():
            raise ValidationError("Someone already signs in with this email.")
        return email

    def clean_password(self) -> str:
        typed = self.cleaned_data["password"]
        if typed:
            password_validation.validate_password(typed, self.instance)
        return typed
