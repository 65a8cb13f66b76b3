"""What an estimate makes of its commission: it holds it, and it is what estimated means."""

from django.dispatch import receiver

from jobs.models import Commission
from jobs.signals import reopened
from studio.signals import held_by


@receiver(held_by, sender=Commission)
def sent_to_a_client(record, **kwargs) -> str:
    if record.estimates.exists():
        return "An estimate was issued for it, and what was sent to a client is kept."
    return ""


@receiver(reopened)
def estimated_before(commission, **kwargs) -> None:
    if commission.state == Commission.State.ENQUIRY and commission.estimates.exists():
        commission.state = Commission.State.ESTIMATED
