"""A new studio starts with the shipped method sheets and materials."""

from django.dispatch import receiver

from jobs.domain.methods import add_shipped_sheets
from jobs.domain.supplies import add_usual_supplies
from studio.signals import studio_opened


@receiver(studio_opened)
def furnish(studio, **kwargs) -> None:
    add_shipped_sheets(studio)
    add_usual_supplies(studio)
