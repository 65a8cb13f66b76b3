"""Forms of the furniture: piece, surface, panel, and a panel's mirror image."""

from datetime import date

from django import forms
from django.core.exceptions import ValidationError
from django.utils import timezone

from jobs.domain.places import free_place_on_face, free_place_on_surface
from jobs.forms.colours import BLANK, ColourInput, check_named
from jobs.layout.shapes import MOST_CORNERS, TOO_MANY_CORNERS, Shape, complaints
from jobs.models import MethodSheet, Panel, Piece, Surface
from jobs.paint.substrates import finishes, substrates
from studio.fields import LengthField, day_field, day_of_life
from studio.forms import RecordForm, StudioForm

UNDECIDED = "undecided"
"""Paper white, which the colour field opens with because it cannot be empty: not yet a colour."""
BELONGS_TO = {"band": "frame", "corners": "polygon"}
"""Fields that only one shape has."""


class PieceForm(RecordForm):
    arrives = day_field(
        label="It arrives on",
        required=False,
        help_text="Leave empty if it is here. Nothing is planned on it before that day.",
    )
    material = forms.ChoiceField(label="Made of")
    finish = forms.ChoiceField(label="What is on it now")

    class Meta:
        model = Piece
        fields = ["name", "material", "finish", "made_in", "use", "arrives", "turned", "notes"]
        labels = {
            "name": "What it is",
            "made_in": "Made in the year, about",
            "use": "What it will be used for",
            "turned": "Turned over, so that the face in work lies flat",
        }
        help_texts = {
            "made_in": "Leave empty if not known: old paint is then taken to hold lead.",
            "turned": "While a face is worked flat, the piece lies on the opposite one, which must "
            "be dry to the touch: the front on the back, one end on the other. What can be taken "
            "off does not count.",
        }
        widgets = {"notes": forms.Textarea(attrs={"rows": 3})}

    def __init__(self, *args, **kwargs) -> None:
        super().__init__(*args, **kwargs)
        self.fields["material"].choices = [(key, row.name) for key, row in substrates().items()]
        self.fields["finish"].choices = [(key, row.name) for key, row in finishes().items()]

    def clean_made_in(self) -> int | None:
        year = self.cleaned_data["made_in"]
        if year is not None and not 1400 <= year <= timezone.localdate().year:
            raise ValidationError("Type the year it was made, for example 1890.")
        return year

    def clean_arrives(self) -> date | None:
        return day_of_life(self.cleaned_data["arrives"])


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

    def __init__(self, *args, **kwargs) -> None:
        super().__init__(*args, **kwargs)
        _ask_for_place(self)

    def clean(self) -> dict:
        data = super().clean()
        if data.get("left") is None and data.get("top") is None and not self.errors:
            others = self.instance.piece.surfaces.filter(face=data["face"])
            data["left"], data["top"] = free_place_on_face(
                others.exclude(pk=self.instance.pk), data["width"], data["height"]
            )
        return _zero_where_empty(data)


def _ask_for_place(form: RecordForm) -> None:
    """Leave the place of a new thing empty, because empty finds the free place."""
    if not form.instance.pk:
        form.initial.update(left=None, top=None)


def _zero_where_empty(data: dict) -> dict:
    for field in ("left", "top"):
        if field in data:
            data[field] = data[field] or 0
    return data


class PanelForm(RecordForm):
    width = LengthField(help_text="Of a circle: its diameter.")
    height = LengthField(required=False)
    band = LengthField(
        required=False,
        label="How wide its band is",
        help_text="From the outer to the inner edge. Other panels may lie inside.",
    )
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
        help_text="One corner a line, going round: from the left, from the top.",
    )
    ground = forms.ChoiceField(
        label="Ground colour",
        choices=[("decided", "decided"), (UNDECIDED, "undecided")],
        widget=forms.RadioSelect,
        help_text="Undecided is a risk: the ground may have to be painted twice, and is priced so.",
    )
    ground_colour = forms.CharField(required=False, widget=ColourInput, label="Its colour")
    colour_agreed_by = day_field(
        label="The colour will be agreed by",
        required=False,
        help_text="Leave empty if nobody waits for it. No ground colour and no mix is planned "
        "before that day.",
    )
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
            "name", "kind", "width", "height", "band", "corners", "left", "top", "motif",
            "intricacy", "ground", "ground_name", "ground_colour", "colour_agreed_by", "sheet",
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
        _ask_for_place(self)
        self.fields["kind"].choices = [
            (key, "frame: a border round something else" if key == Panel.Kind.FRAME else name)
            for key, name in Panel.Kind.choices
        ]
        self.initial["band"] = self.instance.band or None
        undecided = self.instance.pk and not self.instance.ground_decided
        self.fields["ground"].initial = UNDECIDED if undecided else "decided"
        self.initial["ground_colour"] = self.instance.ground_colour or BLANK
        self.fields["corners"].help_text += f" {self._like_a_corner()}"
        typed = self.fields["left"].prepare_value
        self.fields["corners"].initial = "\n".join(
            f"{typed(int(x))}; {typed(int(y))}" for x, y in self.instance.points
        )

    def clean_colour_agreed_by(self) -> date | None:
        return day_of_life(self.cleaned_data["colour_agreed_by"])

    def clean_corners(self) -> list[tuple[int, int]]:
        lines = [line for line in self.cleaned_data["corners"].splitlines() if line.strip()]
        if len(lines) > MOST_CORNERS:
            raise ValidationError(TOO_MANY_CORNERS)
        return [self._corner(line) for line in lines]

    def _corner(self, line: str) -> tuple[int, int]:
        parts = line.split(";")
        if len(parts) != 2:
            raise ValidationError(f"‘{line}’ is not a corner. {self._like_a_corner()}")
        x, y = (self.fields["left"].clean(part) or 0 for part in parts)
        return x, y

    def _like_a_corner(self) -> str:
        """Return how a corner is typed in this studio."""
        write = self.fields["left"].prepare_value
        return f"Type two lengths, like {write(0)}; {self.fields['left'].example}"

    def clean(self) -> dict:
        data = super().clean()
        self._forget_other_shapes(data)
        if data.get("kind") == "circle" and data.get("width"):
            data["height"] = data["width"]
        elif not data.get("height") and "height" not in self.errors:
            self.add_error("height", "How high is it?")
        if data.get("kind") == "frame" and not data["band"] and "band" not in self.errors:
            self.add_error("band", "How wide is its band?")
        self._check_shape(data)
        self._check_ground(data)
        if data.get("left") is None and data.get("top") is None and not self.errors:
            shape = Shape(data["kind"], data["width"], data["height"], band=data["band"])
            data["left"], data["top"] = free_place_on_surface(self.instance, shape)
        return _zero_where_empty(data)

    def _forget_other_shapes(self, data: dict) -> None:
        """Leave out what was typed for a shape she no longer means: its field is not shown."""
        for field, kind in BELONGS_TO.items():
            if data.get("kind") != kind:
                self.errors.pop(field, None)
                data[field] = None
        data["band"] = data.get("band") or 0

    def _check_shape(self, data: dict) -> None:
        if not (data.get("width") and data.get("height") and data.get("kind")):
            return
        if any(field in self.errors for field in BELONGS_TO):
            return
        corners = tuple(data.get("corners") or ())
        self.instance.points = [list(corner) for corner in corners]
        shape = Shape(data["kind"], data["width"], data["height"], corners, band=data["band"])
        for field, sentence in complaints(shape):
            self.add_error("corners" if field == "points" else field, sentence)

    def _check_ground(self, data: dict) -> None:
        if data.get("ground") == UNDECIDED:
            data["ground_name"] = data["ground_colour"] = ""
            return
        check_named(self, data, unnamed="Name the ground colour, or choose ‘undecided’.")


class MirrorForm(StudioForm):
    surface = forms.ModelChoiceField(queryset=Surface.objects.none(), label="On which surface")
    name = forms.CharField(max_length=80, label="Its name")

    def __init__(self, studio, *args, piece: Piece, **kwargs) -> None:
        super().__init__(studio, *args, **kwargs)
        self.fields["surface"].queryset = piece.surfaces.all()
