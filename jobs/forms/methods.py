"""Forms of method sheets and of the stages on them and on panels."""

from django import forms
from django.core.exceptions import ValidationError

from jobs.domain.workshop import films
from jobs.labour.stages import StageKind, stage_kinds
from jobs.models import MethodSheet, SheetStage, Stage
from jobs.models.steps import THICKEST_UM
from jobs.paint.binders import Binder, binders
from jobs.paint.gates import GATES, NO_WAIT
from jobs.paint.worked_in import why_unfit, worked_with
from studio.formats import show_number
from studio.forms import RecordForm, StudioForm


class MethodChoiceForm(StudioForm):
    sheet = forms.ModelChoiceField(
        queryset=MethodSheet.objects.none(), label="Method sheet", empty_label="choose a sheet"
    )

    def __init__(self, studio, *args, **kwargs) -> None:
        super().__init__(studio, *args, **kwargs)
        self.fields["sheet"].queryset = studio.sheets.all()


class SheetForm(RecordForm):
    class Meta:
        model = MethodSheet
        fields = ["name", "notes"]
        widgets = {"notes": forms.Textarea(attrs={"rows": 3})}


AS_USUAL = ("", "as usual for this work")


class StepForm(RecordForm):
    """A stage, of a sheet or of a panel; a new one takes from its kind what is not chosen."""

    kind = forms.ChoiceField(label="Kind of work")
    binder = forms.ChoiceField(label="Painted with")
    medium = forms.ChoiceField(
        label="Worked with",
        required=False,
        help_text="A medium in the paint, or what the drawing is made with.",
    )
    film_um = forms.IntegerField(label="Wet film of a coat, microns", required=False)
    gate = forms.ChoiceField(label="Before the next stage it must be")
    name = forms.CharField(
        max_length=80, required=False, help_text="Empty: named after the kind of work."
    )

    class Meta:
        model = SheetStage
        fields = ["kind", "name", "binder", "medium", "coats", "film_um", "gate", "minutes"]
        labels = {"minutes": "Minutes at the bench for one coat"}
        help_texts = {"minutes": "Empty: reckoned from size and intricacy."}

    def __init__(self, *args, **kwargs) -> None:
        super().__init__(*args, **kwargs)
        self.fields["kind"].choices = [(key, kind.name) for key, kind in stage_kinds().items()]
        self.fields["binder"].choices = [(key, binder.name) for key, binder in binders().items()]
        named = [(key, name) for key, (name, _) in worked_with().items()]
        self.fields["medium"].choices = [("", "nothing named"), *named]
        self.fields["gate"].choices = [(key, gate.label) for key, gate in GATES.items()]
        if not self.instance.pk:
            self._offer_the_usual()
        self._offer_what_fits(self._paint())

    def _offer_the_usual(self) -> None:
        for name in ("binder", "gate"):
            self.fields[name].choices = [AS_USUAL, *self.fields[name].choices]
        self.fields["coats"].help_text = "Empty: as usual for this work."
        for name in ("binder", "gate", "coats"):
            self.fields[name].required = False
            self.initial[name] = None

    def _paint(self) -> Binder | None:
        """Return what it is painted with as far as is known: typed, usual for its kind, or kept."""
        if not self.is_bound:
            return binders().get(self.instance.binder) if self.instance.pk else None
        chosen = self.data.get(self.add_prefix("binder"), "")
        kind = stage_kinds().get(self.data.get(self.add_prefix("kind"), ""))
        return binders().get(chosen or (kind.binder if kind and not self.instance.pk else ""))

    def _offer_what_fits(self, paint: Binder | None) -> None:
        """Offer the media that go into its paint, and say how thick that usually lies."""
        film = self.fields["film_um"]
        film.help_text = "Empty: as the paint usually spreads."
        if paint is None:
            return
        medium = self.fields["medium"]
        kept = self["medium"].value()
        medium.widget.choices = [
            (key, name)
            for key, name in medium.choices
            if key in ("", kept) or not why_unfit(key, paint)
        ]
        if not paint.leaves_film:
            film.help_text = "Nothing is painted on: leave it empty."
            return
        um = films(self.studio).get(paint.key) or paint.film_um
        told = show_number(round(um), self.studio)
        film.help_text = f"Empty: as you usually spread {paint.name}, about {told} microns."

    def clean_film_um(self) -> int | None:
        film = self.cleaned_data["film_um"]
        if film is not None and not 1 <= film <= THICKEST_UM:
            thickest = show_number(THICKEST_UM, self.studio)
            raise ValidationError(f"A wet coat is from 1 to {thickest} microns (5 mm) thick.")
        return film

    def clean_minutes(self) -> int | None:
        minutes = self.cleaned_data["minutes"]
        if minutes is not None and not 1 <= minutes <= 6000:
            raise ValidationError("A coat takes from 1 minute to 100 hours (6000 minutes).")
        return minutes

    def clean(self) -> dict:
        data = super().clean()
        if kind := stage_kinds().get(data.get("kind")):
            self._fill_from(kind, data)
        binder = binders().get(data.get("binder"))
        if binder and not binder.waits and data.get("gate", NO_WAIT.key) != NO_WAIT.key:
            self.add_error("gate", "Nothing is painted on in this stage, so nothing can dry.")
        if binder:
            self._check_what_fits(binder, data)
        return data

    def _check_what_fits(self, binder: Binder, data: dict) -> None:
        if reason := why_unfit(data.get("medium", ""), binder):
            self.add_error("medium", reason)
        if data.get("film_um") and not binder.leaves_film:
            self.add_error("film_um", "Nothing is painted on in this stage: leave this empty.")

    def _fill_from(self, kind: StageKind, data: dict) -> None:
        empty = [name for name in ("binder", "gate", "coats") if data.get(name) in ("", None)]
        for name in empty:
            if name not in self.errors:
                data[name] = getattr(kind, name)
        binder = binders().get(data.get("binder"))
        if "gate" in empty and binder and not binder.waits:
            data["gate"] = NO_WAIT.key


class StageForm(StepForm):
    class Meta(StepForm.Meta):
        model = Stage
        fields = ["kind", "name", "binder", "medium", "mix", "coats", "film_um", "gate", "minutes"]

    def __init__(self, *args, **kwargs) -> None:
        super().__init__(*args, **kwargs)
        self.fields["mix"].queryset = self.studio.mixes.all()
        self.fields["mix"].empty_label = "no mix chosen"
