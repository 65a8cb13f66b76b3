from django.core.validators import MaxValueValidator, MinValueValidator
from django.db import models

from studio.models import Record, Studio


class Mix(Record):
    """A colour recipe in parts of tube colours, so that the same gold comes out again.

    `colour` is as she saw or measured it, "" while the recipe is all that is known of it.
    `family` is the mix that this one is a lighter or darker sibling of.
    """

    studio = models.ForeignKey(Studio, on_delete=models.CASCADE, related_name="mixes")
    name = models.CharField(max_length=80)
    colour = models.CharField(max_length=7, blank=True)
    family = models.ForeignKey(
        "self", on_delete=models.SET_NULL, null=True, blank=True, related_name="siblings"
    )
    notes = models.TextField(blank=True)

    class Meta:
        ordering = ["name", "pk"]

    def __str__(self) -> str:
        return self.name


class MixPart(Record):
    """Parts of one tube colour, known by its Colour Index name."""

    STUDIO_PATH = "mix__studio"

    mix = models.ForeignKey(Mix, on_delete=models.CASCADE, related_name="parts")
    pigment = models.CharField(max_length=40)
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
