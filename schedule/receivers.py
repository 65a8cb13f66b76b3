"""Whatever changes the work makes the programme anew, in the same transaction."""

from django.dispatch import receiver
from django.utils import timezone

from schedule.domain.pins import drop_done
from schedule.domain.programme import plan_studio
from studio.signals import work_changed


@receiver(work_changed)
def plan_anew(studio, **kwargs) -> None:
    drop_done(studio)
    plan_studio(studio, now=timezone.now())
