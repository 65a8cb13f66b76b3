from decimal import Decimal
from secrets import token_urlsafe
from zoneinfo import ZoneInfo

from django.core.validators import MaxValueValidator, MinValueValidator
from django.db import models

from studio.models.record import Record

NO_PERCENT = "A percentage lies between 0 and 100."
PERCENT = [
    MinValueValidator(Decimal(0), NO_PERCENT),
    MaxValueValidator(Decimal(100), NO_PERCENT),
]
MOST_ON_RACK = 500
"""Parts on a drying rack; more is a slip of the pen."""
LONGEST_FROZEN = 14
"""Days: a plan that stands still for longer answers nothing. Common practice, no source."""
USUAL_TERMS = (
    "The deposit is due before work begins; the balance is due at hand-over.\n"
    "Changes to the agreed design or colours after work has begun are priced separately "
    "and agreed before they are made.\n"
    "Drying times depend on weather and paint; the dates are our honest expectation."
)


def new_secret() -> str:
    """Return a link secret that cannot be guessed."""
    return token_urlsafe(32)


class Studio(Record):
    """The business: where it is, how it counts, when it works and what an hour costs.

    The figures it starts with are hers to change, and common practice, no source; the deposit lies
    among the third, 40 % and half that artists' own policies name.
    """

    STUDIO_PATH = "pk"
    MOVES_PROGRAMME = True

    class Unit(models.TextChoices):
        CENTIMETRE = "cm", "centimetres"
        INCH = "in", "inches"

    class Airing(models.TextChoices):
        STILL = "still", "still, as in a shut room"
        NORMAL = "normal", "as usual in a room"
        MOVED = "moved", "moved, by a fan or a draught"

    name = models.CharField(max_length=120)
    slug = models.SlugField(max_length=60, unique=True)
    address = models.TextField(blank=True)
    email = models.EmailField(blank=True)
    phone = models.CharField(max_length=40, blank=True)
    currency = models.CharField(max_length=3, default="GBP")
    unit = models.CharField(max_length=2, choices=Unit, default=Unit.CENTIMETRE)
    time_zone = models.CharField(max_length=60, default="Europe/London")
    locale = models.CharField(max_length=20, default="en_GB")
    tax_name = models.CharField(max_length=30, blank=True)
    tax_rate = models.DecimalField(
        max_digits=6, decimal_places=3, null=True, blank=True, validators=PERCENT
    )
    hourly_cost = models.BigIntegerField(default=3500, validators=[MinValueValidator(0)])
    contingency = models.DecimalField(
        max_digits=5, decimal_places=2, default=Decimal(10), validators=PERCENT
    )
    deposit = models.DecimalField(
        max_digits=5, decimal_places=2, default=Decimal(40), validators=PERCENT
    )
    valid_days = models.PositiveSmallIntegerField(default=30)
    terms = models.TextField(blank=True, default=USUAL_TERMS)
    room_temperature = models.SmallIntegerField(default=19)
    room_humidity = models.PositiveSmallIntegerField(default=55)
    room_airing = models.CharField(max_length=10, choices=Airing, default=Airing.NORMAL)
    past_rooms = models.JSONField(default=list, editable=False)
    """How the room was before, oldest first, each with the instant `until` it was so (see
    `studio.domain.room`): what dried by then keeps the pace of its own room."""
    dry_enough = models.PositiveSmallIntegerField(
        default=80, validators=[MinValueValidator(50), MaxValueValidator(99)]
    )
    """In how many of 100 cases a coat is dry by the hour that the programme counts on. 80 as in
    cost-risk practice, the value not exceeded in 80 of 100 cases (from memory); that it suits
    drying is common practice, no source."""
    rack = models.PositiveSmallIntegerField(
        null=True, blank=True, validators=[MinValueValidator(1), MaxValueValidator(MOST_ON_RACK)]
    )
    """How many removable parts may be drying at once; empty for as many as there are."""
    frozen_days = models.PositiveSmallIntegerField(
        default=1, validators=[MaxValueValidator(LONGEST_FROZEN)]
    )
    """Days ahead, after today, in which a new plan keeps the old one's sittings where it can. One:
    what is told this evening of tomorrow stands. Common practice, no source."""
    feed_secret = models.CharField(max_length=64, unique=True, default=new_secret)

    class Meta:
        constraints = [
            models.CheckConstraint(
                condition=models.Q(hourly_cost__gte=0), name="studio_hourly_cost_not_negative"
            ),
        ]

    def __str__(self) -> str:
        return self.name

    @property
    def owner(self) -> "Studio":
        return self

    @property
    def zone(self) -> ZoneInfo:
        return ZoneInfo(self.time_zone)
