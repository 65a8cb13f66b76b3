from typing import Self

from django.conf import settings
from django.core.validators import MinValueValidator
from django.db import models

from jobs.models import Stage
from schedule.models.programme import PlannedSitting, Stint
from studio.models import Record, Studio


class Pin(Stint, Record):
    """A sitting fixed by her own hand: every plan keeps it, on this coat, by this person, then.

    `start` and `end` are aware UTC instants on the quarter hours. It goes when its coat is done.
    """

    STUDIO_PATH = "studio"
    MOVES_PROGRAMME = True

    studio = models.ForeignKey(Studio, on_delete=models.CASCADE, related_name="pins")
    stage = models.ForeignKey(Stage, on_delete=models.CASCADE, related_name="pins")
    coat = models.PositiveSmallIntegerField(validators=[MinValueValidator(1)])
    person = models.ForeignKey(
        settings.AUTH_USER_MODEL, on_delete=models.CASCADE, related_name="pins"
    )
    start = models.DateTimeField()
    end = models.DateTimeField()

    class Meta:
        ordering = ["start", "pk"]
        constraints = [
            models.UniqueConstraint(fields=["stage", "coat", "start"], name="one_pin_a_sitting"),
            models.CheckConstraint(
                condition=models.Q(end__gt=models.F("start")), name="pin_ends_after_start"
            ),
        ]

    def __str__(self) -> str:
        return f"fixed sitting on {self.stage.panel.title}, {self.title.lower()},"

    @classmethod
    def of(cls, row: PlannedSitting) -> Self:
        """Return a new one, not saved, that holds a planned sitting where it stands."""
        names = ("studio", "stage", "coat", "person", "start", "end")
        return cls(**{name: getattr(row, name) for name in names})
