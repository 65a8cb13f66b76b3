"""The forms of what may be asked of the programme. Each gives its question once it is valid."""

from datetime import date, timedelta

from django import forms
from django.core.exceptions import ValidationError
from django.utils import timezone

from jobs.domain.grounds import (
    GroundColour,
    bed_of,
    ground_colours,
    is_ground_of,
    plain_ground,
)
from jobs.domain.guesses import Guess
from jobs.forms.colours import BLANK, ColourInput, check_named
from jobs.models import Commission, Panel
from quotes.domain.questions import AnotherPerson, OneMore, OtherGround, Overtime, WarmerRoom
from quotes.forms.earliest import RoughForm
from studio.domain.hours import works_then
from studio.fields import ClockInput, MoneyField, day_field
from studio.formats import local, show_money
from studio.forms import StudioForm

COLDEST, WARMEST = 5, 35
"""°C in which one would work at all: common practice, no source."""
LONGEST_SPAN = 92
"""Days of one question: a season. More is a slip of the pen in the year. Common practice, no
source."""
FARTHEST = timedelta(days=2 * 365)
"""How far ahead one asks: beyond it is a slip of the pen too. Common practice, no source."""
ANOTHER = "another"
"""Chosen in place of a ground there is: she names its colour."""
UNMEASURED = "Say it roughly: nothing is measured yet."
ROUGH = ("sheet", "panels", "width", "height")


class OneMoreForm(RoughForm):
    """An enquiry as it is measured, or a rough size in its place."""

    enquiry = forms.ModelChoiceField(
        queryset=Commission.objects.none(),
        required=False,
        label="Which enquiry",
        empty_label="none that is written down",
        help_text="As it is measured. If it is not yet, or none is written down, say roughly what "
        "it comes to.",
        error_messages={"invalid_choice": "Choose one of your enquiries."},
    )
    wanted = day_field(
        label="Wanted by", required=False, help_text="Of a rough size without an enquiry."
    )
    field_order = ["enquiry", *ROUGH, "wanted"]

    def __init__(self, *args, **kwargs) -> None:
        super().__init__(*args, **kwargs)
        states = Commission.State
        asked = self.studio.commissions.filter(state__in=(states.ENQUIRY, states.ESTIMATED))
        self.fields["enquiry"].queryset = asked
        for name in ROUGH:
            self.fields[name].error_messages["required"] = (
                "Say it roughly: nothing is measured yet."
            )

    @property
    def measured(self) -> bool:
        """Return whether the enquiry has panels with a method, so that no guess is needed."""
        enquiry = self.cleaned_data.get("enquiry")
        planned = Panel.objects.filter(surface__piece__commission=enquiry, stages__isnull=False)
        return bool(enquiry) and planned.exists()

    @property
    def rough(self) -> bool:
        """Return whether the fields of a rough size are needed, or hold something."""
        if not self.is_bound:
            return "enquiry" not in self.initial
        return bool(self.errors) or not self.measured

    @property
    def question(self) -> OneMore:
        data = self.cleaned_data
        guess = None if self.measured else Guess(**{name: data[name] for name in ROUGH})
        return OneMore(data["enquiry"], guess, None if data["enquiry"] else data["wanted"])

    def clean_wanted(self) -> date | None:
        wanted = self.cleaned_data["wanted"]
        return _day_to_come(wanted, self) if wanted else None

    def clean(self) -> dict:
        data = super().clean()
        if "enquiry" in self.errors or self.measured:
            for name in ROUGH:
                self.errors.pop(name, None)
        return data


class GroundForm(StudioForm):
    """Another ground colour on a panel of agreed work."""

    panel = forms.ModelChoiceField(
        queryset=Panel.objects.none(),
        label="On which panel",
        empty_label="choose one",
        error_messages={"invalid_choice": "Choose a panel of agreed work."},
    )
    ground = forms.ChoiceField(
        label="Which ground",
        help_text="The grounds and fitting mixes of your studio, or a colour you name.",
        error_messages={"invalid_choice": "Choose one of these grounds."},
    )
    ground_name = forms.CharField(
        required=False,
        max_length=Panel._meta.get_field("ground_name").max_length,
        label="Name of the ground colour",
    )
    ground_colour = forms.CharField(
        required=False, widget=ColourInput, label="Its colour", initial=BLANK
    )

    def __init__(self, *args, **kwargs) -> None:
        super().__init__(*args, **kwargs)
        agreed = {"surface__piece__commission__state__in": Commission.IN_HAND}
        panels = Panel.objects.of(self.studio).for_bench().filter(**agreed)
        shown = [panel for panel in panels if (bed := bed_of(panel)) and not bed.beyond]
        field = self.fields["panel"]
        field.queryset = Panel.objects.of(self.studio).filter(pk__in=[one.pk for one in shown])
        field.choices = [
            ("", "choose one"),
            *((one.pk, f"{one.commission.title}: {one.title}") for one in shown),
        ]
        asked = str(self.data.get("panel") or self.initial.get("panel") or "")
        self.chosen = next((one for one in shown if str(one.pk) == asked), None)
        colours = ground_colours(self.chosen or shown[0]) if shown else ()
        self.colours = {key_of(one): one for one in colours}
        self.fields["ground"].choices = [
            ("", "choose one"),
            *((key, one.name) for key, one in self.colours.items()),
            (ANOTHER, "another colour"),
        ]

    @property
    def any(self) -> bool:
        """Return whether there is a panel whose ground may still change."""
        return len(self.fields["panel"].choices) > 1

    def clean(self) -> dict:
        data = super().clean()
        if data.get("ground") == ANOTHER:
            check_named(self, data, unnamed="Name the ground colour.")
        if not self.errors and is_ground_of(self.chosen, self._ground):
            self.add_error("ground", "It is that ground already.")
        return data

    @property
    def _ground(self) -> GroundColour:
        data = self.cleaned_data
        if data["ground"] == ANOTHER:
            return plain_ground(data["ground_name"], data["ground_colour"])
        return self.colours[data["ground"]]

    @property
    def question(self) -> OtherGround:
        return OtherGround(self.cleaned_data["panel"], self._ground)


def key_of(ground: GroundColour) -> str:
    """Return what names a ground in an address: its recipe, or its colour and name."""
    return f"mix {ground.mix.pk}" if ground.mix else f"{ground.colour} {ground.name}"


class RoomForm(StudioForm):
    temperature = forms.IntegerField(
        label="The room at, °C",
        error_messages={"invalid": "Type whole degrees, like 22."},
    )

    def clean_temperature(self) -> int:
        value = self.cleaned_data["temperature"]
        if not COLDEST <= value <= WARMEST:
            raise ValidationError(f"Type a temperature one works in: {COLDEST} to {WARMEST} °C.")
        if value == self.studio.room_temperature:
            raise ValidationError(f"It is reckoned with {value} °C now. Type another.")
        return value

    @property
    def question(self) -> WarmerRoom:
        return WarmerRoom(self.cleaned_data["temperature"])


class SpanForm(StudioForm):
    """From a day to a day, and what an hour costs."""

    first = day_field(label="From the day")
    last = day_field(label="To the day")
    rate = MoneyField(required=False, label="An hour costs")

    def __init__(self, *args, **kwargs) -> None:
        super().__init__(*args, **kwargs)
        usual = show_money(self.studio.hourly_cost, self.studio)
        self.fields["rate"].help_text = f"Empty: your hourly cost, {usual}."

    def clean_rate(self) -> int:
        typed = self.cleaned_data["rate"]
        return self.studio.hourly_cost if typed is None else typed

    def clean_first(self) -> date:
        return _day_to_come(self.cleaned_data["first"], self)

    def clean_last(self) -> date:
        return _day_to_come(self.cleaned_data["last"], self)

    def clean(self) -> dict:
        data = super().clean()
        if data.get("first") and data.get("last"):
            days = (data["last"] - data["first"]).days + 1
            if days < 1:
                self.add_error("last", "The last day comes before the first.")
            elif days > LONGEST_SPAN:
                self.add_error("last", f"That is {days} days; ask about {LONGEST_SPAN} at most.")
        return data


class AnotherPersonForm(SpanForm):
    field_order = ["first", "last", "rate"]

    def clean(self) -> dict:
        data = super().clean()
        if not self.errors:
            asked = Overtime(data["first"], data["last"], start=None, end=None, rate=0)
            if not asked.days(self.studio):
                self.add_error("last", "The studio has no working hours in those days.")
        return data

    @property
    def question(self) -> AnotherPerson:
        return AnotherPerson(**self.cleaned_data)


class OvertimeForm(SpanForm):
    start = forms.TimeField(widget=ClockInput(), label="From the hour")
    end = forms.TimeField(widget=ClockInput(), label="To the hour")
    every = forms.BooleanField(
        required=False, label="On days I do not work otherwise, too (but not on days off)"
    )
    field_order = ["first", "last", "start", "end", "every", "rate"]

    def clean(self) -> dict:
        data = super().clean()
        if data.get("start") and data.get("end") and data["end"] <= data["start"]:
            sentence = "The hours must end after they start, before midnight: past it is the next"
            self.add_error("end", f"{sentence} day.")
        if not self.errors and not self.question.days(self.studio):
            self.add_error("last", "You work on none of those days. Tick below if you would.")
        if not self.errors and self._worked_already():
            self.add_error("start", "You work then already.")
        return data

    def _worked_already(self) -> bool:
        """Return whether the hours are hers already on every one of the days."""
        asked, studio = self.question, self.studio
        return all(works_then(studio, day, asked.start, asked.end) for day in asked.days(studio))

    @property
    def question(self) -> Overtime:
        return Overtime(**self.cleaned_data)


def _day_to_come(day: date, form: StudioForm) -> date:
    today = local(timezone.now(), form.studio).date()
    if day < today:
        raise ValidationError("That day is over.")
    if day > today + FARTHEST:
        raise ValidationError("Check the year.")
    return day
