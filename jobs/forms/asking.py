"""Forms of who asks, and for what."""

from datetime import date

from django import forms
from django.core.exceptions import ValidationError
from django.utils import timezone

from jobs.models import Client, Commission
from studio.fields import day_field, far_from_life
from studio.forms import RecordForm


class ClientForm(RecordForm):
    class Meta:
        model = Client
        fields = ["name", "email", "phone", "address", "notes"]
        widgets = {
            "address": forms.Textarea(attrs={"rows": 3}),
            "notes": forms.Textarea(attrs={"rows": 3}),
        }


class CommissionForm(RecordForm):
    wanted = day_field(
        required=False,
        label="Wanted by",
        help_text="The day she wants it. Leave empty if any day will do.",
    )

    weight = forms.TypedChoiceField(
        choices=Commission.Weight.choices,
        coerce=int,
        empty_value=Commission.Weight.USUAL,
        required=False,
        label="How much its date matters",
        help_text="Where not all can be ready in time, what matters more goes first: a day late "
        "counts double, or four times as much.",
    )

    class Meta:
        model = Commission
        fields = ["client", "title", "brief", "wanted", "weight"]
        labels = {"brief": "What is wanted"}
        widgets = {"brief": forms.Textarea(attrs={"rows": 5})}

    def __init__(self, *args, **kwargs) -> None:
        super().__init__(*args, **kwargs)
        self.fields["client"].queryset = self.studio.clients.all()

    def clean_wanted(self) -> date | None:
        wanted = self.cleaned_data["wanted"]
        if wanted and wanted != self.initial.get("wanted"):
            if far_from_life(wanted):
                raise ValidationError("Check the year.")
            if wanted < timezone.localdate():
                raise ValidationError("That day is past. Ask for a day from today on.")
        return wanted
