from django.core.validators import MaxValueValidator, MinValueValidator
from django.db import models

from jobs.layout.shapes import Shape
from jobs.models.commission import Commission
from jobs.models.surface import Surface
from studio.models import Record, StudioQuerySet


class PanelQuerySet(StudioQuerySet):
    def for_bench(self):
        """Fetch with each panel all that its gates, pictures and minutes are read from."""
        return self.select_related(
            "surface__piece__commission__studio", "surface__piece__commission__client"
        ).prefetch_related(
            "stages__sittings__person",
            "stages__touch_tests__by",
            "stages__mix__parts",
            "stages__overrulings",
        )


class Panel(Record):
    """One painted area on a surface, in its place, with its motif and its ground.

    No colour is laid on it before the day `colour_agreed_by`, where one is awaited.
    """

    STUDIO_PATH = "surface__piece__commission__studio"
    MOVES_PROGRAMME = True

    class Kind(models.TextChoices):
        RECTANGLE = "rectangle", "rectangle"
        CIRCLE = "circle", "circle"
        OVAL = "oval", "oval"
        ARCH = "arch", "arch"
        POLYGON = "polygon", "polygon"
        FRAME = "frame", "frame"

    surface = models.ForeignKey(Surface, on_delete=models.CASCADE, related_name="panels")
    name = models.CharField(max_length=80)
    kind = models.CharField(max_length=10, choices=Kind, default=Kind.RECTANGLE)
    width = models.PositiveIntegerField()
    height = models.PositiveIntegerField()
    points = models.JSONField(default=list, blank=True)
    band = models.PositiveIntegerField(default=0)
    left = models.PositiveIntegerField(default=0)
    top = models.PositiveIntegerField(default=0)
    motif = models.CharField(max_length=120, blank=True)
    intricacy = models.PositiveSmallIntegerField(
        default=3, validators=[MinValueValidator(1), MaxValueValidator(5)]
    )
    ground_name = models.CharField(max_length=60, blank=True)
    ground_colour = models.CharField(max_length=7, blank=True)
    colour_agreed_by = models.DateField(null=True, blank=True)
    mirrored_from = models.ForeignKey(
        "self", on_delete=models.SET_NULL, null=True, blank=True, related_name="mirrors"
    )

    objects = PanelQuerySet.as_manager()

    class Meta:
        ordering = ["pk"]
        constraints = [
            models.CheckConstraint(
                condition=models.Q(width__gt=0, height__gt=0), name="panel_has_a_size"
            ),
            models.CheckConstraint(
                condition=models.Q(intricacy__gte=1, intricacy__lte=5), name="panel_intricacy"
            ),
        ]

    def __str__(self) -> str:
        return self.name

    @property
    def shape(self) -> Shape:
        points = tuple((x, y) for x, y in self.points)
        return Shape(self.kind, self.width, self.height, points, band=self.band)

    @property
    def title(self) -> str:
        """Return the panel's name with its surface's, as it is told apart on the bench."""
        return self.name if self.name == self.surface.name else f"{self.surface.name}: {self.name}"

    @property
    def ground_decided(self) -> bool:
        return bool(self.ground_name)

    @property
    def commission(self) -> Commission:
        return self.surface.piece.commission

    def why_kept(self) -> str:
        return self.commission.why_part_kept(panel=self)
