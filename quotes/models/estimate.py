from django.db import models

from jobs.models import Commission
from studio.models import StudioQuerySet


class Estimate(models.Model):
    """What was sent to the client: never changed after it is issued.

    Amounts are minor units of `currency`. `pdf` holds the very bytes, `digest` their SHA-256.
    """

    STUDIO_PATH = "commission__studio"

    commission = models.ForeignKey(Commission, on_delete=models.PROTECT, related_name="estimates")
    issue = models.PositiveSmallIntegerField()
    issued_at = models.DateTimeField()
    valid_until = models.DateField()
    currency = models.CharField(max_length=3)
    tax_name = models.CharField(max_length=30, blank=True)
    net = models.BigIntegerField()
    tax = models.BigIntegerField()
    total = models.BigIntegerField()
    deposit = models.BigIntegerField()
    ready_on = models.DateField(null=True)
    accepted_at = models.DateTimeField(null=True)
    pdf = models.BinaryField()
    digest = models.CharField(max_length=64)

    objects = StudioQuerySet.as_manager()

    class Meta:
        ordering = ["-issue"]
        constraints = [
            models.UniqueConstraint(fields=["commission", "issue"], name="one_estimate_an_issue"),
        ]

    def __str__(self) -> str:
        return f"estimate {self.commission.number}, issue {self.issue}"


class EstimateLine(models.Model):
    """One line as it was sent. `minutes` is empty for materials and contingency."""

    STUDIO_PATH = "estimate__commission__studio"

    estimate = models.ForeignKey(Estimate, on_delete=models.CASCADE, related_name="lines")
    position = models.PositiveIntegerField()
    key = models.CharField(max_length=80)
    kind = models.CharField(max_length=12)
    text = models.CharField(max_length=300)
    minutes = models.PositiveIntegerField(null=True)
    amount = models.BigIntegerField()
    reason = models.CharField(max_length=200, blank=True)

    objects = StudioQuerySet.as_manager()

    class Meta:
        ordering = ["position"]

    def __str__(self) -> str:
        return self.text
