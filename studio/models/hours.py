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
