from datetime import datetime

from django.db import models

from jobs.labour.stages import MOST_COATS
from jobs.models.mix import Mix
from jobs.models.panel import Panel
from jobs.models.sitting import Sitting
from jobs.models.steps import StepFields
from studio.models import Record


class Stage(StepFields, Record):
    """One stage of a panel's own method. How far it has come is read from its sittings."""

    STUDIO_PATH = "panel__surface__piece__commission__studio"
    MOVES_PROGRAMME = True

    panel = models.ForeignKey(Panel, on_delete=models.CASCADE, related_name="stages")
    mix = models.ForeignKey(
        Mix, on_delete=models.SET_NULL, null=True, blank=True, related_name="stages"
    )

    class Meta:
        ordering = ["position", "pk"]
        constraints = [
            models.CheckConstraint(
                condition=models.Q(coats__gte=1, coats__lte=MOST_COATS), name="stage_coats"
            ),
        ]

    def __str__(self) -> str:
        return self.name

    @property
    def coat_ends(self) -> list[datetime]:
        """Return when each finished coat was finished, first to last (aware UTC)."""
        return sorted(s.end for s in self.sittings.all() if s.finishes_coat and s.end)

    @property
    def coats_done(self) -> int:
        return len(self.coat_ends)

    @property
    def done(self) -> bool:
        return self.coats_done >= self.coats

    @property
    def running(self) -> Sitting | None:
        """Return the sitting going on now, if any."""
        return next((s for s in self.sittings.all() if s.end is None), None)

    def coat_name(self, coat: int) -> str:
        return self.name if self.coats == 1 else f"{self.name}, coat {coat} of {self.coats}"

    def why_kept(self) -> str:
        if self.sittings.exists() or self.touch_tests.exists():
            return (
                "Work is logged on this stage. Remove its sittings and touch tests first if "
                "they were logged by mistake."
            )
        return ""
