from django.conf import settings
from django.db import models

from jobs.paint.touch import DRY_RESULTS
from studio.models import Record, Studio


class TouchTest(Record):
    """A finger on the paint at a moment. `coat` is the coat of the stage it was held to.

    The room is kept as the studio had it then (°C, per cent, how its air goes): what the test
    teaches of drying must not change with the season.
    """

    STUDIO_PATH = "stage__panel__surface__piece__commission__studio"
    MOVES_PROGRAMME = True

    class Result(models.TextChoices):
        WET = "wet", "wet"
        TACKY = "tacky", "tacky"
        DRY = "touch-dry", "touch-dry"
        THROUGH = "through-dry", "dry all through"

    stage = models.ForeignKey("jobs.Stage", on_delete=models.PROTECT, related_name="touch_tests")
    coat = models.PositiveSmallIntegerField()
    at = models.DateTimeField()
    by = models.ForeignKey(
        settings.AUTH_USER_MODEL, on_delete=models.PROTECT, related_name="touch_tests"
    )
    result = models.CharField(max_length=12, choices=Result)
    note = models.CharField(max_length=200, blank=True)
    room_temperature = models.SmallIntegerField()
    room_humidity = models.PositiveSmallIntegerField()
    room_airing = models.CharField(max_length=10, choices=Studio.Airing)

    class Meta:
        ordering = ["at", "pk"]

    @property
    def dry(self) -> bool:
        return self.result in DRY_RESULTS

    def __str__(self) -> str:
        return f"touch test on {self.stage.name.lower()}"
