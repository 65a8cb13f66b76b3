from secrets import token_hex

from django.db import models

from jobs.models.panel import Panel
from studio.models import Record


def photo_path(photo: "Photo", filename: str) -> str:
    """Return a path that tells nothing of the client and trusts nothing of the upload."""
    return f"{photo.owner.pk}/{token_hex(16)}.jpg"


class Photo(Record):
    """A photograph of a panel, kept re-drawn without what the camera adds (place, owner)."""

    STUDIO_PATH = "panel__surface__piece__commission__studio"

    panel = models.ForeignKey(Panel, on_delete=models.CASCADE, related_name="photos")
    image = models.FileField(upload_to=photo_path)
    taken_at = models.DateTimeField()
    caption = models.CharField(max_length=200, blank=True)

    class Meta:
        ordering = ["taken_at", "pk"]

    def __str__(self) -> str:
        return self.caption or "photograph"
