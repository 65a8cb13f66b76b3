from datetime import datetime

from django.conf import settings
from django.db import models

from studio.models import Record


class Sitting(Record):
    """One stint of hands-on work on a coat. It runs while `end` is empty."""

    STUDIO_PATH = "stage__panel__surface__piece__commission__studio"
    MOVES_PROGRAMME = True

    stage = models.ForeignKey("jobs.Stage", on_delete=models.PROTECT, related_name="sittings")
    person = models.ForeignKey(
        settings.AUTH_USER_MODEL, on_delete=models.PROTECT, related_name="sittings"
    )
    start = models.DateTimeField()
    end = models.DateTimeField(null=True, blank=True)
    finishes_coat = models.BooleanField(default=False)
    note = models.TextField(blank=True)

    class Meta:
        ordering = ["start", "pk"]
        constraints = [
            models.CheckConstraint(
                condition=models.Q(end__isnull=True) | models.Q(end__gt=models.F("start")),
                name="sitting_ends_after_start",
            ),
            models.UniqueConstraint(
                fields=["person"],
                condition=models.Q(end__isnull=True),
                name="one_sitting_at_a_time",
            ),
        ]

    def __str__(self) -> str:
        return f"sitting on {self.stage.name.lower()}"

    def minutes_until(self, now: datetime) -> int:
        """Return whole minutes worked, up to `now` while it runs."""
        return max(0, round(((self.end or now) - self.start).total_seconds() / 60))
