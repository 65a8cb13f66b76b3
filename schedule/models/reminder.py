from datetime import datetime

from django.db import models

from jobs.models import Stage
from studio.models import Studio, StudioQuerySet

PEOPLE_UP = 7
"""Hour of the studio's day before which no mail goes out: common practice, no source."""


class Reminder(models.Model):
    """The outbox: a coat comes dry at `due`, and someone is to be told, once.

    The row is written in the transaction of what caused it, under a `key` made from the fact.
    A sender takes it by a lease (`claim` until `claimed_until`), so that a crash only delays.
    """

    STUDIO_PATH = "studio"

    class State(models.TextChoices):
        WAITING = "waiting", "waiting"
        SENT = "sent", "sent"
        WITHDRAWN = "withdrawn", "withdrawn"
        FAILED = "failed", "could not be delivered"

    UNSENT = (State.WAITING, State.FAILED)

    studio = models.ForeignKey(Studio, on_delete=models.CASCADE, related_name="reminders")
    key = models.CharField(max_length=80, unique=True)
    stage = models.ForeignKey(Stage, on_delete=models.CASCADE, related_name="reminders")
    coat = models.PositiveSmallIntegerField()
    due = models.DateTimeField()
    state = models.CharField(max_length=10, choices=State, default=State.WAITING)
    claim = models.UUIDField(null=True)
    claimed_until = models.DateTimeField(null=True)
    tries = models.PositiveSmallIntegerField(default=0)
    not_before = models.DateTimeField(null=True)
    last_error = models.CharField(max_length=300, blank=True)
    sent_at = models.DateTimeField(null=True)

    objects = StudioQuerySet.as_manager()

    class Meta:
        ordering = ["due", "pk"]
        indexes = [
            models.Index(
                fields=["due"],
                name="reminders_waiting",
                condition=models.Q(state="waiting"),
            ),
        ]

    def __str__(self) -> str:
        return self.key

    @property
    def title(self) -> str:
        return self.stage.coat_name(self.coat)

    @property
    def goes_out(self) -> datetime:
        """Return when it is sent: as it comes due, but not before people are up."""
        there = self.due.astimezone(self.studio.zone)
        return max(self.due, there.replace(hour=PEOPLE_UP, minute=0, second=0, microsecond=0))
