"""A commission's life: opened, declined, taken up again, handed over."""

from datetime import datetime

from django.db import transaction
from django.db.models import Count, Max, Q

from jobs.models import Commission, Stage
from studio.domain.records import keep_record
from studio.models import Studio
from studio.refusal import Refused


@transaction.atomic
def open_commission(commission: Commission, *, seen_version: int | None = None) -> Commission:
    """Save an enquiry or what was changed in it; a new one gets the studio's next number."""
    if not commission.pk:
        # Locks the studio's row, so that two enquiries at once cannot take one number.
        Studio.objects.select_for_update().get(pk=commission.studio_id)
        last = Commission.objects.of(commission.studio).aggregate(last=Max("number"))["last"]
        commission.number = (last or 0) + 1
    return keep_record(commission, seen_version=seen_version)


@transaction.atomic
def decline_commission(commission: Commission) -> None:
    """Put an enquiry or an estimate aside. Raises Refused once it is accepted."""
    if commission.state not in (Commission.State.ENQUIRY, Commission.State.ESTIMATED):
        raise Refused("Work that is agreed cannot be declined any more.")
    commission.state = Commission.State.DECLINED
    keep_record(commission)


@transaction.atomic
def reopen_commission(commission: Commission) -> None:
    """Take a declined commission up again, where it stood."""
    if commission.state != Commission.State.DECLINED:
        raise Refused("Only a declined commission can be taken up again.")
    sent = commission.estimates.exists()
    commission.state = Commission.State.ESTIMATED if sent else Commission.State.ENQUIRY
    keep_record(commission)


@transaction.atomic
def hand_over(commission: Commission, *, at: datetime) -> None:
    """Deliver a commission. Raises Refused while hands-on work is left."""
    if commission.state != Commission.State.DRYING_OUT:
        raise Refused("There is still work to do on it: it can be handed over when all is painted.")
    commission.state = Commission.State.DELIVERED
    commission.delivered_at = at
    keep_record(commission)


def settle_states(studio: Studio) -> None:
    """Bring all commissions in hand in line with their stages and log, after any change."""
    in_hand = Commission.objects.of(studio).filter(state__in=Commission.IN_HAND)
    for commission in in_hand:
        settle_state(commission)


def settle_state(commission: Commission) -> None:
    """Bring the state of agreed work in line with its log: accepted, under way, drying out."""
    if not commission.in_hand and commission.state != Commission.State.DELIVERED:
        return
    stages = Stage.objects.filter(panel__surface__piece__commission=commission).order_by()
    finished = Q(sittings__finishes_coat=True, sittings__end__isnull=False)
    stages = stages.annotate(begun=Count("sittings"), ended=Count("sittings", filter=finished))
    counts = list(stages.values_list("coats", "begun", "ended"))
    if counts and all(ended >= coats for coats, _, ended in counts):
        state = Commission.State.DRYING_OUT
    elif any(begun for _, begun, _ in counts):
        state = Commission.State.UNDER_WAY
    else:
        state = Commission.State.ACCEPTED
    if state == commission.state or (
        commission.state == Commission.State.DELIVERED and state == Commission.State.DRYING_OUT
    ):
        return
    commission.state = state
    commission.save(update_fields=["state", "changed_at"])
