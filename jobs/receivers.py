"""What the record does of itself: it furnishes a studio, follows the work, holds the currency."""

from django.db.models.signals import post_delete
from django.dispatch import receiver

from jobs.domain.commissions import settle_states
from jobs.domain.methods import add_shipped_sheets
from jobs.domain.photos import clear_away
from jobs.domain.supplies import add_usual_supplies
from jobs.models import Mix, Photo
from studio.models import Studio
from studio.signals import held_by, studio_opened, work_changed


@receiver(studio_opened)
def furnish(studio, **kwargs) -> None:
    add_shipped_sheets(studio)
    add_usual_supplies(studio)


@receiver(work_changed)
def follow(studio, **kwargs) -> None:
    # A stage added to a commission that is drying out means there is work to do again.
    settle_states(studio)


@receiver(held_by, sender=Studio)
def priced_in_its_currency(record, **kwargs) -> str:
    if record.commissions.exists():
        return f"There are commissions priced in {record.currency}."
    return ""


@receiver(post_delete, sender=Photo)
def take_the_file_along(instance, **kwargs) -> None:
    # Photographs go with their panel, piece or commission too, not only one by one.
    clear_away(instance.image)


@receiver(post_delete, sender=Mix)
def take_the_swatch_along(instance, **kwargs) -> None:
    clear_away(instance.swatch_photo)
