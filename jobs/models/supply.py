from decimal import Decimal

from django.core.validators import MaxValueValidator, MinValueValidator
from django.db import models

from jobs.paint.film import wet_film_microns
from studio.models import Record, Studio


class Supply(Record):
    """What the studio buys for one binder: how far it goes, and what a pack costs.

    How far a litre goes says how thick a coat lies, and so how long it dries. `pack_price` is
    minor units of `currency`; empty until it is typed. Where it is on order, nothing is painted
    with it before the day it `comes`.
    """

    MOVES_PROGRAMME = True

    studio = models.ForeignKey(Studio, on_delete=models.CASCADE, related_name="supplies")
    binder = models.CharField(max_length=40)
    name = models.CharField(max_length=80)
    spread_rate = models.DecimalField(
        max_digits=5,
        decimal_places=2,
        validators=[MinValueValidator(Decimal("0.5")), MaxValueValidator(Decimal(50))],
    )
    waste = models.DecimalField(
        max_digits=5,
        decimal_places=2,
        default=Decimal(15),
        validators=[MinValueValidator(Decimal(0)), MaxValueValidator(Decimal(100))],
    )
    pack_ml = models.PositiveIntegerField(validators=[MinValueValidator(1)])
    pack_price = models.BigIntegerField(null=True, validators=[MinValueValidator(0)])
    currency = models.CharField(max_length=3)
    comes = models.DateField(null=True, blank=True)

    class Meta:
        ordering = ["pk"]
        verbose_name_plural = "supplies"
        constraints = [
            models.UniqueConstraint(fields=["studio", "binder"], name="one_supply_a_binder"),
        ]

    def __str__(self) -> str:
        return self.name

    @property
    def wet_film(self) -> int:
        """Return how thick a wet coat lies at the spread rate, in whole microns."""
        return int(wet_film_microns(self.spread_rate) + 0.5)

    @property
    def price(self) -> int | None:
        """Return the price of a pack in the studio's currency, None where it is to be typed."""
        return self.pack_price if self.currency == self.studio.currency else None
