"""What every record of a studio has in common."""

from typing import Self

from django.db import models
from django.db.models import FETCH_PEERS


class StudioQuerySet(models.QuerySet):
    """Rows that belong to studios; `of(studio)` is the only door the pages use."""

    def of(self, studio) -> Self:
        """Return this studio's rows; a relation read on one is fetched for all of them."""
        return self.filter(**{self.model.STUDIO_PATH: studio}).fetch_mode(FETCH_PEERS)


class Record(models.Model):
    """A thing the painter typed. `version` tells a stale form from a fresh one."""

    STUDIO_PATH = "studio"
    MOVES_PROGRAMME = False

    version = models.PositiveIntegerField(default=1, editable=False)
    created_at = models.DateTimeField(auto_now_add=True)
    changed_at = models.DateTimeField(auto_now=True)

    objects = StudioQuerySet.as_manager()

    class Meta:
        abstract = True

    @property
    def owner(self):
        """Return the studio this record belongs to, by its STUDIO_PATH."""
        thing = self
        for step in self.STUDIO_PATH.split("__"):
            thing = getattr(thing, step)
        return thing

    def why_kept(self) -> str:
        """Return why this record may not be removed, or "" when it may. May query."""
        return ""
