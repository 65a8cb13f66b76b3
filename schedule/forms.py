"""Forms of time: a sitting fixed by hand."""

from datetime import date, time, timedelta

from django import forms
from django.core.exceptions import ValidationError
from django.db.models import Q

from schedule.engine.calendar import instant
from schedule.models import Pin
from studio.fields import ClockInput, day_field, day_of_life
from studio.formats import local
from studio.forms import RecordForm

QUARTER = 15
LONGEST = 12 * 60
"""Minutes: nobody sits longer at one go. Common practice, no source."""


class PinForm(RecordForm):
    """When a sitting is to be, by whom and for how long; read in the studio's local time."""

    day = day_field(label="On the day")
    start = forms.TimeField(label="From", widget=ClockInput(attrs={"step": QUARTER * 60}))
    minutes = forms.IntegerField(label="How long, minutes")

    class Meta:
        model = Pin
        fields = ["person"]
        labels = {"person": "Who"}

    field_order = ["day", "start", "minutes", "person"]

    def __init__(self, *args, **kwargs) -> None:
        super().__init__(*args, **kwargs)
        there = local(self.instance.start, self.studio)
        self.initial.update(day=there.date(), start=there.time(), minutes=self.instance.minutes)
        painting = self.studio.people.filter(Q(paints=True) | Q(pk=self.instance.person_id))
        self.fields["person"].queryset = painting
        self.fields["person"].empty_label = None
        if len(painting) == 1:
            del self.fields["person"]

    def clean_day(self) -> date:
        return day_of_life(self.cleaned_data["day"])

    def clean_start(self) -> time:
        start = self.cleaned_data["start"]
        if start.minute % QUARTER or start.second or start.microsecond:
            raise ValidationError("The programme goes by quarters of an hour: 09:15, say.")
        return start

    def clean_minutes(self) -> int:
        minutes = self.cleaned_data["minutes"]
        if not QUARTER <= minutes <= LONGEST or minutes % QUARTER:
            raise ValidationError(
                f"A sitting is {QUARTER} to {LONGEST} minutes, in quarters of an hour: 90, say."
            )
        return minutes

    def clean(self) -> dict:
        data = super().clean()
        if not self.errors:
            start = instant(data["day"], data["start"], self.studio.zone)
            self.instance.start = start
            self.instance.end = start + timedelta(minutes=data["minutes"])
        return data
