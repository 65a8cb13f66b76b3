from django.core.validators import MaxValueValidator, MinValueValidator
from django.db import models

from jobs.labour.stages import MOST_COATS, StageKind, stage_kind
from jobs.paint.binders import binder

THICKEST_UM = 5000
"""Microns: what lies thicker is no coat of paint."""


class StepFields(models.Model):
    """What a stage says, on a method sheet and on a panel alike.

    `kind`, `binder` and `gate` are keys of the engines' tables, `medium` is one of what a stage
    may be worked with, or "". `film_um` is the wet film of one coat in microns, NULL for as
    thick as the studio usually spreads it. `minutes` is hands-on time for one coat typed by
    hand, or NULL where the labour engine reckons it.
    """

    position = models.PositiveSmallIntegerField(default=0)
    kind = models.CharField(max_length=40)
    name = models.CharField(max_length=80)
    binder = models.CharField(max_length=40, default="none")
    medium = models.CharField(max_length=40, blank=True)
    coats = models.PositiveSmallIntegerField(
        default=1, validators=[MinValueValidator(1), MaxValueValidator(MOST_COATS)]
    )
    gate = models.CharField(max_length=20, default="none")
    film_um = models.PositiveSmallIntegerField(
        null=True, blank=True, validators=[MinValueValidator(1), MaxValueValidator(THICKEST_UM)]
    )
    minutes = models.PositiveIntegerField(null=True, blank=True)

    class Meta:
        abstract = True

    @property
    def leaves_film(self) -> bool:
        """Return whether its coats stay as paint, ground or varnish; a wash only dries off."""
        return binder(self.binder).leaves_film

    @property
    def sort(self) -> StageKind:
        """Return the kind of work this is, from the labour engine's table."""
        return stage_kind(self.kind)
