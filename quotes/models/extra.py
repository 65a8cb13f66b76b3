from django.db import models

from jobs.models import Commission
from studio.models import Record


class ExtraLine(Record):
    """A line of the estimate in her own words: minutes at the hourly cost, or an amount.

    `minutes` is work that belongs to no panel; `amount` is minor units of the studio's currency.
    """

    STUDIO_PATH = "commission__studio"

    commission = models.ForeignKey(Commission, on_delete=models.CASCADE, related_name="extras")
    text = models.CharField(max_length=200)
    minutes = models.PositiveIntegerField(null=True, blank=True)
    amount = models.BigIntegerField(null=True, blank=True)
    position = models.PositiveSmallIntegerField(default=0)

    class Meta:
        ordering = ["position", "pk"]
        constraints = [
            models.CheckConstraint(
                # Said outright: a comparison with nothing is unknown, and unknown passes a check.
                condition=models.Q(minutes__isnull=False, minutes__gte=1, amount__isnull=True)
                | models.Q(minutes__isnull=True, amount__isnull=False, amount__gte=0),
                name="extra_is_time_or_money",
            ),
        ]

    def __str__(self) -> str:
        return self.text
