"""Forms of the record."""

import re
from datetime import date

from django import forms
from django.core.exceptions import ValidationError
from django.utils import timezone

from jobs.domain.places import free_place_on_face, free_place_on_surface
from jobs.labour.stages import stage_kinds
from jobs.layout.shapes import Shape, complaints
from jobs.models import (
    Client,
    Commission,
    MethodSheet,
    Mix,
    MixPart,
    Panel,
    Piece,
    SheetStage,
    Sitting,
    Stage,
    Supply,
    Surface,
)
from jobs.paint.binders import binders
from jobs.paint.gates import GATES, NO_WAIT
from jobs.paint.pigments import pigments
from studio.fields import LengthField, MomentInput, MoneyField, day_field, far_from_life
from studio.forms import RecordForm, StudioForm

UNDECIDED = "undecided"
COLOUR = re.compile(r"#[0-9a-f]{6}")


class ColourInput(forms.TextInput):
    input_type = "color"


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

    class Meta:
        model = Commission
        fields = ["client", "title", "brief", "wanted"]
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


class PieceForm(RecordForm):
    class Meta:
        model = Piece
        fields = ["name", "material", "finish", "made_in", "use", "notes"]
        labels = {
            "name": "What it is",
            "finish": "What is on it now",
            "made_in": "Made in the year, about",
            "use": "What it will be used for",
        }
        help_texts = {"made_in": "Leave empty if not known: old paint is then taken to hold lead."}
        widgets = {"notes": forms.Textarea(attrs={"rows": 3})}

    def clean_made_in(self) -> int | None:
        year = self.cleaned_data["made_in"]
        if year is not None and not 1400 <= year <= timezone.localdate().year:
            raise ValidationError("Type the year it was made, for example 1890.")
        return year


class SurfaceForm(RecordForm):
    width = LengthField()
    height = LengthField()
    left = LengthField(
        least=0,
        required=False,
        label="From the left edge of that face",
        help_text="Leave both empty and it stands beside the others, for the drawing.",
    )
    top = LengthField(least=0, label="From the top of that face", required=False)

    class Meta:
        model = Surface
        fields = ["name", "face", "width", "height", "left", "top", "removable"]
        labels = {
            "face": "On which face of the piece",
            "removable": "Can be taken off (a door, a drawer front): it may dry on the rack",
        }
        help_texts = {"name": "Left door, drawer front 2, lid …"}

    def clean(self) -> dict:
        data = super().clean()
        if data.get("left") is None and data.get("top") is None and not self.errors:
            others = self.instance.piece.surfaces.filter(face=data["face"])
            data["left"], data["top"] = free_place_on_face(
                others.exclude(pk=self.instance.pk), data["width"], data["height"]
            )
        return _zero_where_empty(data)


def _zero_where_empty(data: dict) -> dict:
    for field in ("left", "top"):
        if field in data:
            data[field] = data[field] or 0
    return data


class PanelForm(RecordForm):
    width = LengthField()
    height = LengthField(required=False, help_text="A circle is as high as it is wide.")
    left = LengthField(
        least=0,
        required=False,
        label="From the left edge of the surface",
        help_text="Leave both empty and it stands where there is most room.",
    )
    top = LengthField(least=0, label="From the top of the surface", required=False)
    corners = forms.CharField(
        required=False,
        label="Corners of a polygon",
        widget=forms.Textarea(attrs={"rows": 4, "inputmode": "text"}),
        help_text="One corner a line, going round: from the left, from the top. Like 0; 12.5",
    )
    ground = forms.ChoiceField(
        label="Ground colour",
        choices=[("decided", "decided"), (UNDECIDED, "undecided")],
        widget=forms.RadioSelect,
        help_text="Undecided is a risk: the ground may have to be painted twice, and is priced so.",
    )
    ground_colour = forms.CharField(required=False, widget=ColourInput, label="Its colour")
    sheet = forms.ModelChoiceField(
        queryset=MethodSheet.objects.none(),
        required=False,
        label="Method sheet",
        empty_label="none yet",
        help_text="The panel gets its own copy of the stages, to change as you like.",
    )

    class Meta:
        model = Panel
        fields = [
            "name", "kind", "width", "height", "corners", "left", "top", "motif", "intricacy",
            "ground", "ground_name", "ground_colour", "sheet",
        ]  # fmt: skip
        labels = {"kind": "Shape", "ground_name": "Name of the ground colour"}
        help_texts = {
            "motif": "What is painted: plait border, finch, evening sky …",
            "intricacy": "1 is a plain field, 3 usual, 5 the finest work you do.",
        }

    def __init__(self, *args, **kwargs) -> None:
        super().__init__(*args, **kwargs)
        if self.instance.pk:
            del self.fields["sheet"]
        else:
            self.fields["sheet"].queryset = self.studio.sheets.all()
        undecided = self.instance.pk and not self.instance.ground_decided
        self.fields["ground"].initial = UNDECIDED if undecided else "decided"
        self.fields["corners"].initial = "\n".join(
            f"{self.fields['left'].prepare_value(int(x))}; {self.fields['left'].prepare_value(int(y))}"
            for x, y in self.instance.points
        )

    def clean_corners(self) -> list[tuple[int, int]]:
        corners = []
        for line in self.cleaned_data["corners"].splitlines():
            if not line.strip():
                continue
            parts = line.split(";")
            if len(parts) != 2:
                raise ValidationError(f"‘{line}’ is not a corner. Type two lengths: 0; 12.5")
            x, y = (self.fields["left"].clean(part) or 0 for part in parts)
            corners.append((x, y))
        return corners

    def clean(self) -> dict:
        data = super().clean()
        if data.get("kind") == "circle" and data.get("width"):
            data["height"] = data["width"]
        elif not data.get("height") and "height" not in self.errors:
            self.add_error("height", "How high is it?")
        self._check_shape(data)
        self._check_ground(data)
        if data.get("left") is None and data.get("top") is None and not self.errors:
            shape = Shape(data["kind"], data["width"], data["height"])
            data["left"], data["top"] = free_place_on_surface(self.instance, shape)
        return _zero_where_empty(data)

    def _check_shape(self, data: dict) -> None:
        if not (data.get("width") and data.get("height") and data.get("kind")):
            return
        corners = tuple(data.get("corners") or ()) if data["kind"] == "polygon" else ()
        if data["kind"] == "polygon" and "corners" in self.errors:
            return
        self.instance.points = [list(corner) for corner in corners]
        for field, sentence in complaints(
            Shape(data["kind"], data["width"], data["height"], corners)
        ):
            self.add_error("corners" if field == "points" else field, sentence)

    def _check_ground(self, data: dict) -> None:
        if data.get("ground") == UNDECIDED:
            data["ground_name"] = data["ground_colour"] = ""
            return
        if not data.get("ground_name") and "ground_name" not in self.errors:
            self.add_error("ground_name", "Name the ground colour, or choose ‘undecided’.")
        if not COLOUR.fullmatch(data.get("ground_colour") or ""):
            self.add_error("ground_colour", "Choose the colour.")


class MirrorForm(StudioForm):
    surface = forms.ModelChoiceField(queryset=Surface.objects.none(), label="On which surface")
    name = forms.CharField(max_length=80, label="Its name")

    def __init__(self, studio, *args, piece: Piece, **kwargs) -> None:
        super().__init__(studio, *args, **kwargs)
        self.fields["surface"].queryset = piece.surfaces.all()


class MethodChoiceForm(StudioForm):
    sheet = forms.ModelChoiceField(queryset=MethodSheet.objects.none(), label="Method sheet")

    def __init__(self, studio, *args, **kwargs) -> None:
        super().__init__(studio, *args, **kwargs)
        self.fields["sheet"].queryset = studio.sheets.all()


class SheetForm(RecordForm):
    class Meta:
        model = MethodSheet
        fields = ["name", "notes"]
        widgets = {"notes": forms.Textarea(attrs={"rows": 3})}


class StepForm(RecordForm):
    """A stage, of a sheet or of a panel."""

    kind = forms.ChoiceField(label="Kind of work")
    binder = forms.ChoiceField(label="Painted with")
    gate = forms.ChoiceField(label="Before the next stage it must be")
    name = forms.CharField(
        max_length=80, required=False, help_text="Empty: named after the kind of work."
    )

    class Meta:
        model = SheetStage
        fields = ["kind", "name", "binder", "coats", "gate", "minutes"]
        labels = {"minutes": "Minutes at the bench for one coat"}
        help_texts = {"minutes": "Empty: reckoned from size and intricacy."}

    def __init__(self, *args, **kwargs) -> None:
        super().__init__(*args, **kwargs)
        self.fields["kind"].choices = [(key, kind.name) for key, kind in stage_kinds().items()]
        self.fields["binder"].choices = [(key, binder.name) for key, binder in binders().items()]
        self.fields["gate"].choices = [(key, gate.label) for key, gate in GATES.items()]

    def clean_minutes(self) -> int | None:
        minutes = self.cleaned_data["minutes"]
        if minutes is not None and not 1 <= minutes <= 6000:
            raise ValidationError("A coat takes from 1 minute to 100 hours (6000 minutes).")
        return minutes

    def clean(self) -> dict:
        data = super().clean()
        waits = binders()[data["binder"]].waits if data.get("binder") else {}
        if data.get("gate", NO_WAIT.key) != NO_WAIT.key and not waits:
            self.add_error("gate", "Nothing is painted on in this stage, so nothing can dry.")
        return data


class StageForm(StepForm):
    class Meta(StepForm.Meta):
        model = Stage
        fields = ["kind", "name", "binder", "mix", "coats", "gate", "minutes"]

    def __init__(self, *args, **kwargs) -> None:
        super().__init__(*args, **kwargs)
        self.fields["mix"].queryset = self.studio.mixes.all()
        self.fields["mix"].empty_label = "no mix chosen"


class SittingForm(RecordForm):
    start = forms.DateTimeField(widget=MomentInput())
    end = forms.DateTimeField(widget=MomentInput(), required=False)

    class Meta:
        model = Sitting
        fields = ["person", "start", "end", "finishes_coat", "note"]
        labels = {"person": "Who", "finishes_coat": "The coat was finished"}
        widgets = {"note": forms.Textarea(attrs={"rows": 2})}

    def __init__(self, *args, **kwargs) -> None:
        super().__init__(*args, **kwargs)
        self.fields["person"].queryset = self.studio.people.all()
        if self.instance.pk and self.instance.end is None:
            self.fields["end"].help_text = "Empty: it is still going on."
        elif not self.instance.pk:
            self.fields["end"].required = True


class TouchTestForm(StudioForm):
    """A touch test recorded after the fact, with its own time."""

    coat = forms.IntegerField(min_value=1)
    result = forms.ChoiceField(
        choices=[("wet", "wet"), ("tacky", "tacky"), ("touch-dry", "touch-dry")]
    )
    at = forms.DateTimeField(widget=MomentInput(), label="When")
    note = forms.CharField(max_length=200, required=False)

    def clean_at(self):
        at = self.cleaned_data["at"]
        if at > timezone.now():
            raise ValidationError("That moment is still to come.")
        return at


class PhotoForm(StudioForm):
    image = forms.FileField(
        label="Photograph",
        widget=forms.ClearableFileInput(attrs={"accept": "image/jpeg,image/png,image/webp"}),
    )
    caption = forms.CharField(max_length=200, required=False)


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
        self.fields["pigment"].choices = [("", "—")] + [
            (ci, f"{ci} {pigment.name}") for ci, pigment in pigments().items()
        ]


class BaseMixPartSet(forms.BaseInlineFormSet):
    def clean(self) -> None:
        super().clean()
        rows = [
            form.cleaned_data
            for form in self.forms
            if form.cleaned_data and not form.cleaned_data.get("DELETE")
        ]
        if not rows and not any(self.errors):
            raise ValidationError("A mix needs at least one tube colour.")


MixPartSet = forms.inlineformset_factory(
    Mix, MixPart, form=MixPartForm, formset=BaseMixPartSet, extra=3, can_delete=True
)


class SupplyForm(RecordForm):
    pack_price = MoneyField(label="Price of a pack")

    class Meta:
        model = Supply
        fields = ["name", "spread_rate", "waste", "pack_ml", "pack_price"]
        labels = {
            "spread_rate": "One litre covers, m² a coat",
            "waste": "Lost in pots and brushes, %",
            "pack_ml": "A pack holds, ml",
        }
