"""Forms of what happened at the bench: sittings, touch tests, photographs."""

from datetime import datetime

from django import forms
from django.core.exceptions import ValidationError
from django.core.files.base import ContentFile
from django.utils import timezone

from jobs.domain.photos import redrawn
from jobs.models import Photo, Sitting, TouchTest
from jobs.paint.gates import THROUGH_DRY
from studio.fields import MomentInput, far_from_life
from studio.forms import RecordForm, StudioForm
from studio.refusal import Refused

LARGEST_PHOTO = 25 * 1024 * 1024


def in_our_time(moment: datetime) -> datetime:
    if far_from_life(moment):
        raise ValidationError("Check the year.")
    return moment


def to_the_second(kept: datetime | None, typed: datetime | None) -> datetime | None:
    """Return the kept moment, seconds and all, where the minute typed is the same."""
    same = kept and typed and kept.replace(second=0, microsecond=0) == typed
    return kept if same else typed


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

    def validate_constraints(self) -> None:
        """Leave times and overlaps to keep_sitting, which says beside the field what is wrong."""

    def clean_start(self) -> datetime:
        return to_the_second(self.instance.start, in_our_time(self.cleaned_data["start"]))

    def clean_end(self) -> datetime | None:
        return to_the_second(self.instance.end, self.cleaned_data["end"])


class TouchTestForm(RecordForm):
    """A touch test recorded after the fact, with its own time."""

    coat = forms.IntegerField(min_value=1)
    result = forms.ChoiceField(
        choices=TouchTest.Result.choices,
        help_text=f"Dry all through: {THROUGH_DRY.test[0].lower()}{THROUGH_DRY.test[1:]}",
    )
    at = forms.DateTimeField(widget=MomentInput(), label="When")

    class Meta:
        model = TouchTest
        fields = ["coat", "result", "at", "note"]

    def clean_at(self) -> datetime:
        at = to_the_second(self.instance.at, in_our_time(self.cleaned_data["at"]))
        if at > timezone.now():
            raise ValidationError("That moment is still to come.")
        return at


class PhotoForm(StudioForm):
    image = forms.FileField(
        label="Photograph",
        widget=forms.ClearableFileInput(attrs={"accept": "image/jpeg,image/png,image/webp"}),
    )
    caption = forms.CharField(max_length=200, required=False)

    def clean_image(self) -> ContentFile:
        """Return the picture redrawn: here, so that nobody waits on a lock for it."""
        upload = self.cleaned_data["image"]
        if upload.size > LARGEST_PHOTO:
            raise ValidationError("This file is larger than 25 MB. Send a smaller picture.")
        try:
            return redrawn(upload)
        except Refused as refusal:
            raise ValidationError(refusal.sentence) from refusal


class CaptionForm(RecordForm):
    class Meta:
        model = Photo
        fields = ["caption"]


class SwatchForm(PhotoForm):
    """A photograph of a mix laid out on the board; it needs no words."""

    caption = None
