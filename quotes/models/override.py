from django.db import models

from jobs.models import Commission
from studio.models import Record


class LineOverride(Record):
    """A line of the estimate set by hand, with the reason kept. `key` names the line."""

    STUDIO_PATH = "commission__studio"

    commission = models.ForeignKey(Commission, on_delete=models.CASCADE, related_name="overrides")
    key = models.CharField(max_length=80)
    minutes = models.PositiveIntegerField(null=True, blank=True)
    amount = models.BigIntegerField(null=True, blank=True)
    reason = models.CharField(max_length=200)

    class Meta:
        ordering = ["pk"]
        constraints = [
            models.UniqueConstraint(fields=["commission", "key"], name="one_override_a_line"),
            models.CheckConstraint(
                condition=models.Q(amount__isnull=True) | models.Q(amount__gte=0),
                name="override_amount_not_negative",
            ),
        ]

    def __str__(self) -> str:
        return f"{self.key}: {self.reason}"
