from django.conf import settings
from django.db import models

from studio.models.record import Record
from studio.models.studio import Studio


class WorkingWindow(Record):
    """Hours of one weekday in which the studio paints, in its own local time."""

    MOVES_PROGRAMME = True

    class Weekday(models.IntegerChoices):
        MONDAY = 0, "Monday"
        TUESDAY = 1, "Tuesday"
        WEDNESDAY = 2, "Wednesday"
        THURSDAY = 3, "Thursday"
        FRIDAY = 4, "Friday"
        SATURDAY = 5, "Saturday"
        SUNDAY = 6, "Sunday"

    studio = models.ForeignKey(Studio, on_delete=models.CASCADE, related_name="windows")
    weekday = models.SmallIntegerField(choices=Weekday)
    start = models.TimeField()
    end = models.TimeField()

    class Meta:
        ordering = ["weekday", "start"]
        constraints = [
            models.CheckConstraint(
                condition=models.Q(end__gt=models.F("start")), name="window_ends_after_start"
            ),
        ]

    def __str__(self) -> str:
        return f"{self.get_weekday_display()} {self.start:%H:%M}–{self.end:%H:%M}"


class DayOff(Record):
    """Days without work, first and last included."""

    MOVES_PROGRAMME = True

    studio = models.ForeignKey(Studio, on_delete=models.CASCADE, related_name="days_off")
    first = models.DateField()
    last = models.DateField()
    reason = models.CharField(max_length=80, blank=True)

    class Meta:
        ordering = ["first"]
        constraints = [
            models.CheckConstraint(
                condition=models.Q(last__gte=models.F("first")), name="day_off_ends_after_start"
            ),
        ]

    def __str__(self) -> str:
        return self.reason or "days off"


class DatedHours(Record):
    """Hours of one day, in the studio's local time, beside its weekly ones: more of them or fewer.

    They are everyone's, or those of `person` alone.
    """

    MOVES_PROGRAMME = True

    class Kind(models.TextChoices):
        EXTRA = "extra", "longer hours"
        AWAY = "away", "a visit or an errand"

    studio = models.ForeignKey(Studio, on_delete=models.CASCADE, related_name="dated_hours")
    kind = models.CharField(max_length=5, choices=Kind, default=Kind.AWAY)
    day = models.DateField()
    start = models.TimeField()
    end = models.TimeField()
    person = models.ForeignKey(
        settings.AUTH_USER_MODEL,
        on_delete=models.CASCADE,
        null=True,
        blank=True,
        related_name="dated_hours",
    )
    note = models.CharField(max_length=80, blank=True)

    class Meta:
        ordering = ["day", "start", "pk"]
        verbose_name_plural = "dated hours"
        constraints = [
            models.CheckConstraint(
                condition=models.Q(end__gt=models.F("start")), name="dated_hours_end_after_start"
            ),
            models.CheckConstraint(
                condition=models.Q(kind__in=["extra", "away"]), name="dated_hours_kind_known"
            ),
        ]

    def __str__(self) -> str:
        return self.note or ("longer hours" if self.kind == self.Kind.EXTRA else "away")
