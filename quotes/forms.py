"""Forms of the estimate."""

from django import forms

from jobs.domain.layering import LONGEST_REASON
from quotes.models import ExtraLine, LineOverride
from studio.fields import MoneyField
from studio.forms import RecordForm, StudioForm

LONGEST_LINE = 60_000


class LineForm(RecordForm):
    """A line set by hand: hours, amount, and why."""

    minutes = forms.IntegerField(
        min_value=0,
        max_value=LONGEST_LINE,
        required=False,
        label="Minutes at the bench",
        help_text="Leave empty to keep them as reckoned.",
    )
    amount = MoneyField(
        required=False, help_text="Leave empty to charge the minutes at your hourly cost."
    )

    class Meta:
        model = LineOverride
        fields = ["minutes", "amount", "reason"]
        labels = {"reason": "Why"}
        help_texts = {"reason": "Kept with the estimate, not printed for the client."}


class ExtraForm(RecordForm):
    """A line in her own words: minutes or an amount."""

    minutes = forms.IntegerField(
        min_value=1,
        max_value=LONGEST_LINE,
        required=False,
        label="Minutes of work",
        help_text="Charged at your hourly cost. It is not planned in the programme.",
    )
    amount = MoneyField(required=False, help_text="In place of minutes, before tax.")

    class Meta:
        model = ExtraLine
        fields = ["text", "minutes", "amount"]
        labels = {"text": "What it is"}
        help_texts = {
            "text": "Printed for the client: collection, delivery, taking off ironmongery, "
            "a design drawing."
        }

    def validate_constraints(self) -> None:
        """Leave it to keep_extra, which says beside the field what is wrong."""


class AllTheSameForm(StudioForm):
    """Why an estimate is issued over what the layering rules refuse."""

    reason = forms.CharField(
        max_length=LONGEST_REASON,
        label="Why it is done all the same",
        help_text="Kept in the log of each panel, and printed nowhere.",
        widget=forms.Textarea(attrs={"rows": 3}),
    )
