"""Forms of the estimate."""

from collections.abc import Sequence

from django import forms
from django.core.exceptions import ValidationError

from jobs.domain.grounds import WHITE, GroundColour, plain_ground
from jobs.domain.layering import LONGEST_REASON
from jobs.forms.colours import COLOUR, ColourInput
from jobs.models.steps import THICKEST_UM
from jobs.paint.opacity import opacity_classes
from quotes.models import ExtraLine, LineOverride
from studio.domain.records import GONE
from studio.fields import MoneyField
from studio.forms import RecordForm, StudioForm

LONGEST_LINE = 60_000
BLANK = "#808080"
"""What the field of a colour to try opens with."""


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

    def __init__(self, *args, **kwargs) -> None:
        super().__init__(*args, **kwargs)
        self.fields["seen_version"].initial = self.instance.version if self.instance.pk else GONE

    @property
    def seen(self) -> int | None:
        """Return the version the painter saw, GONE where the line was as reckoned."""
        return self.cleaned_data.get("seen_version")

    def as_kept(self) -> LineOverride | None:
        line = {"commission": self.instance.commission, "key": self.instance.key}
        return LineOverride.objects.filter(**line).first()


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


class LateForm(StudioForm):
    """What she asks of a late ground: over what, and with which colour and film of her own."""

    over = forms.ChoiceField(required=False, label="Suppose this lay there")
    colour = forms.CharField(
        required=False, widget=ColourInput, label="A colour to try", initial=BLANK
    )
    opacity = forms.ChoiceField(
        required=False,
        label="It covers",
        help_text="As the tube says.",
        choices=[
            ("", "no colour to try"),
            *((row.key, row.name) for row in opacity_classes().values()),
        ],
    )
    film = forms.IntegerField(
        required=False,
        min_value=1,
        max_value=THICKEST_UM,
        label="Wet film of a coat, microns",
        help_text="Empty: as you usually spread it.",
        error_messages={
            "invalid": "Type whole microns, like 100.",
            "min_value": "A coat is thicker than nothing: at least 1 micron.",
            "max_value": "What lies thicker than 5 mm is no coat of paint.",
        },
    )

    def __init__(self, *args, colours: Sequence[GroundColour], **kwargs) -> None:
        super().__init__(*args, **kwargs)
        names = {each.colour: each.name for each in reversed(colours)}
        self.beds = {WHITE: "white gesso"} | dict(reversed(names.items()))
        self.fields["over"].choices = [("", "as it is"), *self.beds.items()]
        self.fields["over"].error_messages["invalid_choice"] = "Choose one of these grounds."

    @property
    def supposed(self) -> tuple[str, str] | None:
        """Return name and colour of the ground supposed to lie there."""
        colour = self.cleaned_data.get("over")
        return (self.beds[colour], colour) if colour else None

    @property
    def tried(self) -> GroundColour | None:
        colour, opacity = self.cleaned_data.get("colour"), self.cleaned_data.get("opacity")
        return plain_ground("The colour you try", colour, opacity=opacity) if opacity else None

    def clean_colour(self) -> str:
        typed = self.cleaned_data["colour"].strip().lower()
        if typed and not COLOUR.fullmatch(typed):
            raise ValidationError(
                f"‘{typed[:20]}’ is no colour. Choose it, or type it like #c79a3b."
            )
        return typed

    def clean(self) -> dict:
        data = super().clean()
        if "colour" in self.errors:
            return data
        chosen = data.get("colour", BLANK) not in ("", BLANK)
        if chosen and not data.get("opacity") and "opacity" not in self.errors:
            self.add_error("opacity", "Say how well it covers.")
        if data.get("opacity") and not chosen:
            self.add_error("colour", "Choose the colour; the field still shows its blank.")
        return data


class AllTheSameForm(StudioForm):
    """Why an estimate is issued or accepted over what the layering rules refuse."""

    reason = forms.CharField(
        max_length=LONGEST_REASON,
        label="Why it is done all the same",
        help_text="Kept in the log of each panel, and printed nowhere.",
        widget=forms.Textarea(attrs={"rows": 3}),
    )
