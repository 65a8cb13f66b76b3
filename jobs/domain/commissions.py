"""A commission's life: opened, declined or called off, taken up again, handed over."""

from collections import defaultdict
from collections.abc import Iterable
from datetime import datetime

from django.db import transaction
from django.db.models import Count, Max, Q
from django.utils import timezone

from jobs.models import Commission, Sitting, Stage
from jobs.signals import reopened
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
    """Put an enquiry or an estimate aside, or call off agreed work; its log is kept.

    A second time changes nothing. Raises Refused once it is handed over, or while someone is
    at one of its panels.
    """
    lock_commission(commission)
    if commission.state == Commission.State.DECLINED:
        return
    if commission.state == Commission.State.DELIVERED:
        raise Refused("It is handed over, so there is nothing left to call off.")
    # A sitting left running would hold her, out of sight, to a panel that left the bench.
    running = Sitting.objects.filter(end=None, stage__panel__surface__piece__commission=commission)
    if sitting := running.select_related("person", "stage__panel").first():
        raise Refused(
            f"{sitting.person.name} is at ‘{sitting.stage.panel.name}’ now. End that sitting first."
        )
    commission.state = Commission.State.DECLINED
    keep_record(commission)


@transaction.atomic
def reopen_commission(commission: Commission) -> None:
    """Take a declined commission up again where it stood: priced, or agreed and in hand."""
    lock_commission(commission)
    if commission.state != Commission.State.DECLINED:
        raise Refused("Only a declined commission can be taken up again.")
    if commission.accepted_at:
        commission.state = Commission.State.ACCEPTED
        settle_state(commission)
    else:
        commission.state = Commission.State.ENQUIRY
    reopened.send(sender=Commission, commission=commission)
    keep_record(commission)


def lock_commission(commission: Commission) -> None:
    """Read a commission anew and hold it, so that a verb judges by what it says now."""
    fresh = Commission.objects.select_for_update()
    commission.refresh_from_db(from_queryset=fresh)


@transaction.atomic
def hand_over(commission: Commission, *, at: datetime) -> None:
    """Deliver a commission. Raises Refused while hands-on work is left."""
    lock_commission(commission)
    if commission.state != Commission.State.DRYING_OUT:
        raise Refused("There is still work to do on it: it can be handed over when all is painted.")
    commission.state = Commission.State.DELIVERED
    commission.delivered_at = at
    keep_record(commission)


def settle_states(studio: Studio) -> None:
    """Bring all commissions in hand in line with their stages and log, after any change."""
    _settle(Commission.objects.of(studio).filter(state__in=Commission.IN_HAND))


def settle_state(commission: Commission) -> None:
    """Bring the state of agreed work in line with its log: accepted, under way, drying out."""
    if commission.in_hand or commission.state == Commission.State.DELIVERED:
        _settle([commission])


def _settle(commissions: Iterable[Commission]) -> None:
    """Ask once for the stages of all, and write each new state once."""
    commissions = list(commissions)
    stages = Stage.objects.filter(panel__surface__piece__commission__in=commissions).order_by()
    finished = Q(sittings__finishes_coat=True, sittings__end__isnull=False)
    stages = stages.annotate(begun=Count("sittings"), ended=Count("sittings", filter=finished))
    counts: dict[int, list[tuple[int, int, int]]] = defaultdict(list)
    for key, *count in stages.values_list(
        "panel__surface__piece__commission", "coats", "begun", "ended"
    ):
        counts[key].append(tuple(count))
    changed = []
    for commission in commissions:
        state = _state_by_log(counts[commission.pk])
        delivered = commission.state == Commission.State.DELIVERED
        if state == commission.state or (delivered and state == Commission.State.DRYING_OUT):
            continue
        commission.state, commission.changed_at = state, timezone.now()
        changed.append(commission)
    Commission.objects.bulk_update(changed, ["state", "changed_at"])


def _state_by_log(counts: list[tuple[int, int, int]]) -> Commission.State:
    """Return the state that (coats, sittings begun, coats finished) of all stages amount to."""
    if counts and all(ended >= coats for coats, _, ended in counts):
        return Commission.State.DRYING_OUT
    if any(begun for _, begun, _ in counts):
        return Commission.State.UNDER_WAY
    return Commission.State.ACCEPTED
