from datetime import datetime, timedelta

from django.conf import settings
from django.db import models

from jobs.models import Commission, Stage
from studio.models import Studio, StudioQuerySet


class Programme(models.Model):
    """The plan of a studio as it was last made. Its rows are written anew at every change.

    `inputs` is what it was made from, in short (see `schedule.domain.causes`), `work` the digest of
    that, `changed_at` when it last became another, and `woven` the digest that was woven last.
    `lost_pins` are those of its `troubles` that tell of a fixed sitting, by the key of its task.
    `cost` holds the terms of the plan's cost as the judge reckons them. `moves` and `causes` tell
    of the last change worth telling, at `moved_at`; `compared` holds what the plan is set against
    (see `schedule.domain.comparison`), `foretold` by when each commission is likely and surely
    ready (see `schedule.domain.finishes`).
    """

    STUDIO_PATH = "studio"

    studio = models.OneToOneField(Studio, on_delete=models.CASCADE, related_name="programme")
    made_at = models.DateTimeField()
    troubles = models.JSONField(default=list)
    lost_pins = models.JSONField(default=dict)
    inputs = models.JSONField(default=dict)
    work = models.CharField(max_length=64, blank=True)
    changed_at = models.DateTimeField(null=True)
    woven = models.CharField(max_length=64, blank=True)
    cost = models.JSONField(default=dict)
    moves = models.JSONField(default=list)
    causes = models.JSONField(default=list)
    moved_at = models.DateTimeField(null=True)
    compared = models.JSONField(default=dict)
    foretold = models.JSONField(default=dict)

    objects = StudioQuerySet.as_manager()

    def __str__(self) -> str:
        return f"programme of {self.studio}"


class Stint(models.Model):
    """A sitting ahead, planned or fixed: its coat, and how long it is."""

    class Meta:
        abstract = True

    @property
    def title(self) -> str:
        return self.stage.coat_name(self.coat)

    @property
    def minutes(self) -> int:
        return int((self.end - self.start).total_seconds() // 60)


class PlannedSitting(Stint):
    """A stint planned on a coat. A row keeps its identity while the plan moves it.

    `part` counts the sittings of one coat from 0. `sequence` rises when the row moves or what a
    calendar is told of it (`summary`, `description`) changes; a row that falls out of the plan is
    kept a while with `dropped_at`.
    """

    STUDIO_PATH = "studio"

    studio = models.ForeignKey(Studio, on_delete=models.CASCADE, related_name="planned_sittings")
    stage = models.ForeignKey(Stage, on_delete=models.CASCADE, related_name="planned_sittings")
    coat = models.PositiveSmallIntegerField()
    part = models.PositiveSmallIntegerField()
    person = models.ForeignKey(settings.AUTH_USER_MODEL, on_delete=models.CASCADE)
    start = models.DateTimeField()
    end = models.DateTimeField()
    summary = models.CharField(max_length=300)
    description = models.CharField(max_length=300)
    sequence = models.PositiveIntegerField(default=0)
    moved_at = models.DateTimeField()
    dropped_at = models.DateTimeField(null=True)

    objects = StudioQuerySet.as_manager()

    class Meta:
        ordering = ["start", "pk"]
        constraints = [
            models.UniqueConstraint(fields=["stage", "coat", "part"], name="one_row_a_sitting"),
            models.CheckConstraint(
                condition=models.Q(end__gt=models.F("start")), name="planned_end_after_start"
            ),
        ]

    def __str__(self) -> str:
        return f"{self.stage} from {self.start:%Y-%m-%d %H:%M}"


class PlannedGate(models.Model):
    """When the gate after a coat is counted on to open.

    For a coat still drying, `likely` and `surely` are its even and its 95 % chance; for a coat
    still to be painted they are empty.
    """

    STUDIO_PATH = "studio"

    studio = models.ForeignKey(Studio, on_delete=models.CASCADE, related_name="planned_gates")
    stage = models.ForeignKey(Stage, on_delete=models.CASCADE, related_name="planned_gates")
    coat = models.PositiveSmallIntegerField()
    kind = models.CharField(max_length=20)
    since = models.DateTimeField()
    opens = models.DateTimeField()
    likely = models.DateTimeField(null=True)
    surely = models.DateTimeField(null=True)
    summary = models.CharField(max_length=300)
    description = models.CharField(max_length=300)
    sequence = models.PositiveIntegerField(default=0)
    moved_at = models.DateTimeField()
    dropped_at = models.DateTimeField(null=True)

    objects = StudioQuerySet.as_manager()

    class Meta:
        ordering = ["opens", "pk"]
        constraints = [
            models.UniqueConstraint(fields=["stage", "coat"], name="one_gate_a_coat"),
        ]

    def __str__(self) -> str:
        return f"{self.stage} {self.kind} at {self.opens:%Y-%m-%d %H:%M}"

    @property
    def drying(self) -> bool:
        """Return whether the coat is painted and drying, rather than still planned."""
        return self.likely is not None


class PlannedFinish(models.Model):
    """When a commission will be ready; `finish` is empty where not all of it could be planned."""

    STUDIO_PATH = "studio"

    studio = models.ForeignKey(Studio, on_delete=models.CASCADE, related_name="planned_finishes")
    commission = models.OneToOneField(
        Commission, on_delete=models.CASCADE, related_name="planned_finish"
    )
    finish = models.DateTimeField(null=True)

    objects = StudioQuerySet.as_manager()

    class Meta:
        ordering = ["commission__number"]

    def __str__(self) -> str:
        return f"{self.commission} ready {self.finish}"

    @property
    def late_days(self) -> int:
        """Return how many of the studio's local days the finish falls after the wanted day."""
        return days_late(self.finish, self.commission)


def days_late(finish: datetime | None, commission: Commission) -> int:
    """Return whole local days from the wanted day to the finish, 0 when in time or unknown."""
    if not finish or not commission.wanted:
        return 0
    # Midnight at the end of the wanted day is still in time.
    there = (finish - timedelta.resolution).astimezone(commission.studio.zone).date()
    return max(0, (there - commission.wanted).days)
