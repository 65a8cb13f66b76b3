from django.core.validators import MaxValueValidator, MinValueValidator
from django.db import models

from studio.models import Record, Studio


class Mix(Record):
    """A colour recipe in parts of tube colours, so that the same gold comes out again."""

    studio = models.ForeignKey(Studio, on_delete=models.CASCADE, related_name="mixes")
    name = models.CharField(max_length=80)
    colour = models.CharField(max_length=7)
    notes = models.TextField(blank=True)

    class Meta:
        ordering = ["name", "pk"]

    def __str__(self) -> str:
        return self.name


class MixPart(Record):
    """Parts of one tube colour, known by its Colour Index name."""

    STUDIO_PATH = "mix__studio"

    mix = models.ForeignKey(Mix, on_delete=models.CASCADE, related_name="parts")
    pigment = models.CharField(max_length=12)
    parts = models.PositiveSmallIntegerField(
        default=1, validators=[MinValueValidator(1), MaxValueValidator(1000)]
    )

    class Meta:
        ordering = ["-parts", "pk"]
        constraints = [
            models.UniqueConstraint(fields=["mix", "pigment"], name="one_row_a_pigment"),
        ]

    def __str__(self) -> str:
        return f"{self.parts} × {self.pigment}"
