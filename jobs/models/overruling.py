from django.conf import settings
from django.db import models

from jobs.models.panel import Panel
from jobs.models.stage import Stage
from studio.models import Record


class Overruling(Record):
    """Why a stage stands although a layering rule refuses it. It is kept in the log alone.

    The log outlives the stage: `work` is what it was called.
    """

    STUDIO_PATH = "panel__surface__piece__commission__studio"

    panel = models.ForeignKey(Panel, on_delete=models.CASCADE, related_name="overrulings")
    stage = models.ForeignKey(
        Stage, on_delete=models.SET_NULL, null=True, related_name="overrulings"
    )
    work = models.CharField(max_length=80)
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
        return f"reason given for {self.work.lower()}"
