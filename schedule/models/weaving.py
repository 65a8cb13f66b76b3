from datetime import datetime, timedelta
from uuid import uuid4

from django.db import models

from studio.models import Studio, StudioQuerySet

SILENCE = timedelta(seconds=30)
"""After so long without a word the process that weaves is taken for dead. Common practice, no
source."""


class Weaving(models.Model):
    """The long search for a better plan of a studio, as far as it has come; the last one is kept.

    `claim` is the process's right to write here and to the programme: who begins anew takes it
    away. `calm` says that what is near is to stay where it can, unless she asked for the search
    herself. `steps` of `allowed` plans are made, the best at `cost` (hours, as
    `schedule.engine.objective` counts them) and that at the beginning at `cost_before`. `work` is
    the digest of the work it began from. `days_won` are the days by which finishes come earlier in
    all, `late_won` those by which they are less late; both None where nothing better was found.
    """

    STUDIO_PATH = "studio"

    class State(models.TextChoices):
        WAITING = "waiting", "about to begin"
        RUNNING = "running", "weaving"
        DONE = "done", "woven"
        STOPPED = "stopped", "stopped"
        FAILED = "failed", "failed"

    AT_WORK = (State.WAITING, State.RUNNING)

    studio = models.OneToOneField(Studio, on_delete=models.CASCADE, related_name="weaving")
    claim = models.UUIDField(default=uuid4)
    calm = models.BooleanField(default=True)
    state = models.CharField(max_length=10, choices=State, default=State.WAITING)
    started_at = models.DateTimeField()
    beat_at = models.DateTimeField()
    steps = models.PositiveIntegerField(default=0)
    allowed = models.PositiveIntegerField(default=0)
    cost_before = models.FloatField(null=True)
    cost = models.FloatField(null=True)
    stop_asked = models.BooleanField(default=False)
    cut_short = models.BooleanField(default=False)
    words = models.CharField(max_length=300, blank=True)
    work = models.CharField(max_length=64, blank=True)
    days_won = models.FloatField(null=True)
    late_won = models.FloatField(null=True)

    objects = StudioQuerySet.as_manager()

    def __str__(self) -> str:
        return f"weaving of {self.studio}"

    def alive_at(self, now: datetime) -> bool:
        """Return whether its process is at work, or about to be, as far as anybody knows."""
        return self.state in self.AT_WORK and now - self.beat_at < SILENCE

    def dead_at(self, now: datetime) -> bool:
        """Return whether its process fell silent before it was done."""
        return self.state in self.AT_WORK and not self.alive_at(now)

    @property
    def better_by(self) -> int:
        """Return by how many of a hundred parts the best plan so far costs less."""
        if not self.cost_before or self.cost is None:
            return 0
        return max(0, round(100 * (self.cost_before - self.cost) / self.cost_before))
