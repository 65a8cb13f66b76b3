"""Forms of colour mixes and of what the studio buys."""

from datetime import date

from django import forms
from django.core.exceptions import ValidationError

from jobs.forms.colours import COLOUR, ColourInput
from jobs.models import Mix, MixPart, Supply
from jobs.paint.pigments import pigments
from studio.fields import MoneyField, NumberField, day_field, day_of_life
from studio.forms import RecordForm, speak_plainly

MOST_PARTS = 1000
COUNT_PARTS = dict.fromkeys(
    ("min_value", "max_value", "invalid", "required"),
    f"Count from 1 to {MOST_PARTS}, in whole parts.",
)
RECKONED, SEEN = "reckoned", "seen"


class MixForm(RecordForm):
    look = forms.ChoiceField(
        label="Its colour is",
        choices=[(RECKONED, "reckoned"), (SEEN, "as I see it")],
        widget=forms.RadioSelect,
        required=False,
    )
    colour = forms.CharField(
        widget=ColourInput,
        label="What it looks like dry",
        required=False,
        help_text="Choose it by a dried swatch, or type what was measured. Leave empty: reckoned.",
    )

    class Meta:
        model = Mix
        fields = ["name", "look", "colour", "family", "notes"]
        widgets = {"notes": forms.Textarea(attrs={"rows": 2})}
        labels = {"family": "Lighter or darker sibling of"}

    def __init__(self, *args, **kwargs) -> None:
        super().__init__(*args, **kwargs)
        others = self.studio.mixes.exclude(pk=self.instance.pk).filter(family=None)
        self.fields["family"].queryset = others
        self.fields["family"].empty_label = "none"
        self.fields["family"].error_messages["invalid_choice"] = (
            "That mix cannot head this one's family. Choose another."
        )
        self.initial["look"] = SEEN if self.instance.colour else RECKONED

    def clean(self) -> dict:
        data = super().clean()
        colour = data.get("colour", "").strip().lower()
        data["colour"] = "" if data.get("look") == RECKONED else colour
        if data["colour"] and not COLOUR.fullmatch(colour):
            self.add_error("colour", "Choose the colour, or leave it to be reckoned.")
        return data


class MixPartForm(forms.ModelForm):
    pigment = forms.ChoiceField(label="Tube colour")
    parts = forms.IntegerField(min_value=1, max_value=MOST_PARTS, initial=1)

    class Meta:
        model = MixPart
        fields = ["pigment", "parts"]

    def __init__(self, *args, **kwargs) -> None:
        super().__init__(*args, **kwargs)
        speak_plainly(self)
        self.fields["parts"].error_messages.update(COUNT_PARTS)
        field = self.fields["pigment"]
        field.error_messages["required"] = "Choose the tube colour, or remove the row."
        field.error_messages["invalid_choice"] = (
            "‘%(value)s’ is not in our table of tube colours. Choose the nearest there is."
        )
        field.choices = [("", "—"), *_tube_colours()]
        typed = self["pigment"].value()
        if typed and typed not in pigments():
            # What was typed, or written before the table changed, stays in sight.
            field.widget.choices = [*field.choices, (typed, f"{typed} (not in the table)")]

    def clean(self) -> dict:
        # Two rows may swap their colours; that none stands twice is seen by the set of them all.
        return self.cleaned_data


def _tube_colours() -> list[tuple[str, str]]:
    return [(key, f"{each.ci} {each.name}") for key, each in pigments().items()]


class BaseMixPartSet(forms.BaseInlineFormSet):
    def validate_unique(self) -> None:
        seen = set()
        for form in self.forms:
            row = getattr(form, "cleaned_data", {})
            key = row.get("pigment")
            if key and not row.get("DELETE") and key in seen:
                sentence = f"{pigments()[key].name.capitalize()} stands in a row above already: "
                form.add_error("pigment", sentence + "put its parts together in one.")
            elif not row.get("DELETE"):
                seen.add(key)

    def clean(self) -> None:
        super().clean()
        if not self.recipe and not any(self.errors):
            raise ValidationError("A mix needs at least one tube colour.")

    @property
    def recipe(self) -> dict[str, int]:
        """Return parts by the key of their pigment, as the rows that stay say."""
        rows = [form.cleaned_data for form in self.forms if form.cleaned_data]
        return {
            row["pigment"]: row["parts"]
            for row in rows
            if row.get("pigment") and row.get("parts") and not row.get("DELETE")
        }


MOST_TUBES = 20
"""More tube colours than this in one mix make mud (common practice, no source), and a meddled count
would cost minutes."""

MixPartSet = forms.inlineformset_factory(
    Mix,
    MixPart,
    form=MixPartForm,
    formset=BaseMixPartSet,
    extra=3,
    can_delete=True,
    max_num=MOST_TUBES,
    absolute_max=MOST_TUBES + 3,
    validate_max=True,
)


class SupplyForm(RecordForm):
    pack_price = MoneyField(label="Price of a pack")
    comes = day_field(
        label="On order, comes on",
        required=False,
        help_text="Leave empty if it is on the shelf. Nothing is planned with it before that day.",
    )

    class Meta:
        model = Supply
        fields = ["name", "spread_rate", "waste", "pack_ml", "pack_price", "comes"]
        field_classes = dict.fromkeys(("spread_rate", "waste"), NumberField)
        labels = {
            "spread_rate": "One litre covers, m² a coat",
            "waste": "Lost in pots and brushes, %",
            "pack_ml": "A pack holds, ml",
        }

    def __init__(self, *args, **kwargs) -> None:
        super().__init__(*args, **kwargs)
        if self.instance.pk:
            self.fields["spread_rate"].help_text = (
                f"A wet coat lies {self.instance.wet_film} µm thick at the rate kept now; "
                "half the rate is twice the thickness. (1000 µm are a millimetre.)"
            )
        # A price in a currency the studio no longer has would change its meaning.
        self.initial["pack_price"] = self.instance.price

    def clean_comes(self) -> date | None:
        return day_of_life(self.cleaned_data["comes"])
