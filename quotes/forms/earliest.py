"""A rough size of what is asked for, before anything is measured."""

from django import forms

from jobs.domain.guesses import MOST_GUESSED, Guess
from jobs.models import MethodSheet
from studio.fields import LengthField
from studio.forms import StudioForm


class RoughForm(StudioForm):
    sheet = forms.ModelChoiceField(
        queryset=MethodSheet.objects.none(),
        label="Painted by the method sheet",
        empty_label="choose a sheet",
        error_messages={"invalid_choice": "Choose one of your method sheets."},
    )
    panels = forms.IntegerField(
        min_value=1,
        max_value=MOST_GUESSED,
        label="How many panels",
        error_messages={
            "invalid": "Type a whole number of panels, like 4.",
            "min_value": "At least one panel.",
            "max_value": f"At most {MOST_GUESSED}: measure what is larger.",
        },
    )
    width = LengthField(label="Each about so wide")
    height = LengthField(label="And so high")

    def __init__(self, *args, **kwargs) -> None:
        super().__init__(*args, **kwargs)
        self.fields["sheet"].queryset = self.studio.sheets.filter(stages__isnull=False).distinct()

    @property
    def guess(self) -> Guess:
        return Guess(**self.cleaned_data)
