"""Forms of the estimate."""

from django import forms

from quotes.models import LineOverride
from studio.fields import MoneyField
from studio.forms import RecordForm


class LineForm(RecordForm):
    """A line set by hand: hours, amount, and why."""

    minutes = forms.IntegerField(
        min_value=0,
        max_value=60_000,
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
