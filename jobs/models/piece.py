from django.db import models

from jobs.models.commission import Commission
from jobs.paint.cautions import FINISHES, USES
from studio.models import Record


class Piece(Record):
    """The furniture: what it is, what it is made of, and what it will be used for."""

    STUDIO_PATH = "commission__studio"
    MOVES_PROGRAMME = True

    class Material(models.TextChoices):
        SOFTWOOD = "softwood", "softwood (pine, spruce, fir)"
        OAK = "oak", "oak or another wood rich in tannin"
        HARDWOOD = "hardwood", "another hardwood"
        VENEER = "veneer", "veneer"
        BOARD = "board", "plywood or fibreboard"
        METAL = "metal", "metal"
        OTHER = "other", "something else"

    commission = models.ForeignKey(Commission, on_delete=models.CASCADE, related_name="pieces")
    name = models.CharField(max_length=80)
    material = models.CharField(max_length=12, choices=Material, default=Material.SOFTWOOD)
    finish = models.CharField(max_length=12, choices=FINISHES, default="unknown")
    made_in = models.PositiveSmallIntegerField(null=True, blank=True)
    use = models.CharField(max_length=12, choices=USES, default="everyday")
    notes = models.TextField(blank=True)

    class Meta:
        ordering = ["pk"]

    def __str__(self) -> str:
        return self.name

    def why_kept(self) -> str:
        return self.commission.why_part_kept(panel__surface__piece=self)
