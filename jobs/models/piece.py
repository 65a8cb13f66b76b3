from django.db import models

from jobs.models.commission import Commission
from jobs.paint.cautions import USES
from jobs.paint.substrates import Finish, Substrate, finish, substrate
from studio.models import Record


class Piece(Record):
    """The furniture: what it is, what it is made of, and what it will be used for.

    `material` and `finish` are keys of the paint tables of substrates and finishes. Nothing is
    begun on it before the day it `arrives`. `turned`: each face is worked lying flat, so that the
    piece lies on the opposite one meanwhile.
    """

    STUDIO_PATH = "commission__studio"
    MOVES_PROGRAMME = True

    commission = models.ForeignKey(Commission, on_delete=models.CASCADE, related_name="pieces")
    name = models.CharField(max_length=80)
    material = models.CharField(max_length=20, default="softwood")
    finish = models.CharField(max_length=20, default="unknown")
    made_in = models.PositiveSmallIntegerField(null=True, blank=True)
    use = models.CharField(max_length=12, choices=USES, default="everyday")
    arrives = models.DateField(null=True, blank=True)
    turned = models.BooleanField(default=False)
    notes = models.TextField(blank=True)

    class Meta:
        ordering = ["pk"]

    def __str__(self) -> str:
        return self.name

    @property
    def stuff(self) -> Substrate:
        """Return what it is made of, from the paint tables."""
        return substrate(self.material)

    @property
    def lying(self) -> Finish:
        """Return what lies on it as it comes in, from the paint tables."""
        return finish(self.finish)

    def why_kept(self) -> str:
        return self.commission.why_part_kept(panel__surface__piece=self)
