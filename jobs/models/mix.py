from django.core.validators import MaxValueValidator, MinValueValidator
from django.db import models

from jobs.models.photo import photo_path
from jobs.paint.mixing import looks
from studio.models import Record, Studio


class Mix(Record):
    """A colour recipe in parts of tube colours, so that the same gold comes out again.

    `colour` is as she saw or measured it, "" while the recipe is all that is known of it;
    `swatch_photo` shows it on the board. `family` is the mix that this one is a lighter or
    darker sibling of, and never a sibling itself.
    """

    studio = models.ForeignKey(Studio, on_delete=models.CASCADE, related_name="mixes")
    name = models.CharField(max_length=80)
    colour = models.CharField(max_length=7, blank=True)
    family = models.ForeignKey(
        "self", on_delete=models.SET_NULL, null=True, blank=True, related_name="siblings"
    )
    notes = models.TextField(blank=True)
    swatch_photo = models.FileField(upload_to=photo_path, blank=True)

    class Meta:
        ordering = ["name", "pk"]

    def __str__(self) -> str:
        return self.name

    @property
    def recipe(self) -> dict[str, int]:
        """Return the parts by the key of their pigment, the largest first."""
        return {part.pigment: part.parts for part in self.parts.all()}

    @property
    def used_on(self) -> list[str]:
        """Return the names of the panels it is painted on, each once."""
        return list(dict.fromkeys(stage.panel.name for stage in self.stages.all()))

    @property
    def swatch(self) -> str:
        """Return its colour as she saw it, else as reckoned; "" where neither can be told."""
        return self.colour or looks(self.recipe)


class MixPart(Record):
    """Parts of one tube colour: `pigment` is its Colour Index name, with a variety where needed."""

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
