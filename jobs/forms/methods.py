"""Forms of method sheets and of the stages on them and on panels."""

from django import forms
from django.core.exceptions import ValidationError

from jobs.labour.stages import StageKind, stage_kinds
from jobs.models import MethodSheet, SheetStage, Stage
from jobs.paint.binders import binders
from jobs.paint.gates import GATES, NO_WAIT
from jobs.paint.worked_in import worked_with
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
    gate = forms.ChoiceField(label="Before the next stage it must be")
    name = forms.CharField(
        max_length=80, required=False, help_text="Empty: named after the kind of work."
    )

    class Meta:
        model = SheetStage
        fields = ["kind", "name", "binder", "medium", "coats", "gate", "minutes"]
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

    def _offer_the_usual(self) -> None:
        for name in ("binder", "gate"):
            self.fields[name].choices = [AS_USUAL, *self.fields[name].choices]
        self.fields["coats"].help_text = "Empty: as usual for this work."
        for name in ("binder", "gate", "coats"):
            self.fields[name].required = False
            self.initial[name] = None

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
        return data

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
        fields = ["kind", "name", "binder", "medium", "mix", "coats", "gate", "minutes"]

    def __init__(self, *args, **kwargs) -> None:
        super().__init__(*args, **kwargs)
        self.fields["mix"].queryset = self.studio.mixes.all()
        self.fields["mix"].empty_label = "no mix chosen"
