from django.conf import settings
from django.db import models

from jobs.models.stage import Stage
from studio.models import Record


class Overruling(Record):
    """Why a stage stands although a layering rule refuses it. It is kept in the log alone."""

    STUDIO_PATH = "stage__panel__surface__piece__commission__studio"

    stage = models.ForeignKey(Stage, on_delete=models.CASCADE, related_name="overrulings")
    rule = models.CharField(max_length=60)
    said = models.TextField()
    reason = models.CharField(max_length=300)
    by = models.ForeignKey(
        settings.AUTH_USER_MODEL, on_delete=models.PROTECT, related_name="overrulings"
    )
    at = models.DateTimeField()

    class Meta:
        ordering = ["at", "pk"]

    def __str__(self) -> str:
        return f"reason given for {self.stage.name.lower()}"
