from django.db import models

from jobs.labour.stages import MOST_COATS
from jobs.models.steps import StepFields
from studio.models import Record, Studio


class MethodSheet(Record):
    """A way of working the studio uses again and again: an ordered list of stages."""

    studio = models.ForeignKey(Studio, on_delete=models.CASCADE, related_name="sheets")
    name = models.CharField(max_length=80)
    notes = models.TextField(blank=True)

    class Meta:
        ordering = ["pk"]

    def __str__(self) -> str:
        return self.name


class SheetStage(StepFields, Record):
    """One stage of a method sheet."""

    STUDIO_PATH = "sheet__studio"

    sheet = models.ForeignKey(MethodSheet, on_delete=models.CASCADE, related_name="stages")

    class Meta:
        ordering = ["position", "pk"]
        constraints = [
            models.CheckConstraint(
                condition=models.Q(coats__gte=1, coats__lte=MOST_COATS), name="sheet_stage_coats"
            ),
        ]

    def __str__(self) -> str:
        return self.name
