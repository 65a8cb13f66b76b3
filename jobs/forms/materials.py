"""Forms of colour mixes and of what the studio buys."""

from django import forms
from django.core.exceptions import ValidationError

from jobs.forms.colours import COLOUR, ColourInput
from jobs.models import Mix, MixPart, Supply
from jobs.paint.pigments import pigments
from studio.fields import MoneyField, NumberField
from studio.forms import RecordForm, speak_plainly


class MixForm(RecordForm):
    colour = forms.CharField(widget=ColourInput, label="What it looks like")

    class Meta:
        model = Mix
        fields = ["name", "colour", "notes"]
        widgets = {"notes": forms.Textarea(attrs={"rows": 2})}

    def clean_colour(self) -> str:
        colour = self.cleaned_data["colour"].lower()
        if not COLOUR.fullmatch(colour):
            raise ValidationError("Choose the colour.")
        return colour


class MixPartForm(forms.ModelForm):
    pigment = forms.ChoiceField(label="Tube colour")

    class Meta:
        model = MixPart
        fields = ["pigment", "parts"]

    def __init__(self, *args, **kwargs) -> None:
        super().__init__(*args, **kwargs)
        speak_plainly(self)
        self.fields["pigment"].choices = [("", "—")] + [
            (ci, f"{ci} {pigment.name}") for ci, pigment in pigments().items()
        ]


class BaseMixPartSet(forms.BaseInlineFormSet):
    def clean(self) -> None:
        super().clean()
        if not self.recipe and not any(self.errors):
            raise ValidationError("A mix needs at least one tube colour.")

    @property
    def recipe(self) -> dict[str, int]:
        """Return parts by Colour Index name, as the rows that stay say."""
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

    class Meta:
        model = Supply
        fields = ["name", "spread_rate", "waste", "pack_ml", "pack_price"]
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
