from django.db import models

from jobs.models.piece import Piece
from studio.models import Record


class Surface(Record):
    """One face of the piece. Its place is measured from the left and top of that face."""

    STUDIO_PATH = "piece__commission__studio"
    MOVES_PROGRAMME = True

    class Face(models.TextChoices):
        FRONT = "front", "front"
        LEFT = "left", "left end"
        RIGHT = "right", "right end"
        TOP = "top", "top"
        BACK = "back", "back"
        INSIDE = "inside", "inside"

    piece = models.ForeignKey(Piece, on_delete=models.CASCADE, related_name="surfaces")
    name = models.CharField(max_length=80)
    face = models.CharField(max_length=8, choices=Face, default=Face.FRONT)
    width = models.PositiveIntegerField()
    height = models.PositiveIntegerField()
    left = models.PositiveIntegerField(default=0)
    top = models.PositiveIntegerField(default=0)
    removable = models.BooleanField(default=False)

    class Meta:
        ordering = ["pk"]
        constraints = [
            models.CheckConstraint(
                condition=models.Q(width__gt=0, height__gt=0), name="surface_has_a_size"
            ),
        ]

    def __str__(self) -> str:
        return self.name

    def why_kept(self) -> str:
        return self.piece.commission.why_part_kept(panel__surface=self)
