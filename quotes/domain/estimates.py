"""Estimates: issued as they stand, kept as they were sent, accepted once."""

from collections.abc import Collection
from dataclasses import dataclass
from datetime import date, datetime, timedelta
from hashlib import sha256

from django.db import transaction

from jobs.domain.commissions import lock_commission
from jobs.domain.layering import overrule, standing_refusals
from jobs.models import Commission
from quotes.domain.pricing import EXTRA, Pricing, price_commission
from quotes.domain.promise import Promise
from quotes.engine.costing import Costing
from quotes.models import Estimate, EstimateLine, LineOverride
from studio.domain.records import STALE, keep_record
from studio.formats import show_date
from studio.models import Person
from studio.refusal import Refused, Stale

CHANGED = "The price has changed since you opened this page. Look at it again before you issue it."
OVER_A_REFUSAL = "The layering rules refuse a stage of it. Mend that, or say why it stands."
REFUSED_MEANWHILE = "The layering rules refuse more than you saw on this page. Look at it again."


@dataclass(frozen=True)
class Draft:
    """An estimate ready to be issued: the very price and the very page."""

    issue: int
    pricing: Pricing
    promise: Promise
    valid_until: date
    pdf: bytes


def next_issue(commission: Commission) -> int:
    last = commission.estimates.first()
    return last.issue + 1 if last else 1


def valid_until(commission: Commission, *, now: datetime) -> date:
    studio = commission.studio
    return now.astimezone(studio.zone).date() + timedelta(days=studio.valid_days)


@dataclass(frozen=True)
class AllTheSame:
    """Why an estimate is issued or accepted over what the layering rules refuse, and what was seen.

    `seen` holds the keys of the refusals that stood on the page where `reason` was typed.
    """

    reason: str
    by: Person
    seen: Collection[str]


@transaction.atomic
def issue_estimate(
    draft: Draft, *, at: datetime, seen_total: int, all_the_same: AllTheSame | None = None
) -> Estimate:
    """Freeze a draft as the next issue.

    `seen_total` is the total the painter saw. What the layering rules refuse stands only with
    her reason, which goes into the panels' logs. Raises Refused where the record or another
    issue has moved on since, or that reason is wanting (field "reason").
    """
    commission = draft.pricing.commission
    costing = _held_to(draft, seen_total=seen_total)
    _overrule_what_is_refused(commission, all_the_same, at=at)
    studio = commission.studio
    estimate = Estimate.objects.create(
        commission=commission,
        issue=draft.issue,
        issued_at=at,
        valid_until=draft.valid_until,
        currency=studio.currency,
        tax_name=studio.tax_name if studio.tax_rate is not None else "",
        net=costing.net,
        tax=costing.tax,
        total=costing.total,
        deposit=costing.deposit,
        ready_on=draft.promise.likely,
        pdf=draft.pdf,
        digest=sha256(draft.pdf).hexdigest(),
    )
    _write_lines(estimate, costing)
    if commission.state == Commission.State.ENQUIRY:
        commission.state = Commission.State.ESTIMATED
        keep_record(commission)
    return estimate


def _write_lines(estimate: Estimate, costing: Costing) -> None:
    EstimateLine.objects.bulk_create(
        EstimateLine(
            estimate=estimate,
            position=position,
            key=line.key,
            kind=line.kind,
            text=line.text[:300],
            minutes=line.minutes,
            amount=line.amount,
            reason=line.reason,
        )
        for position, line in enumerate(costing.lines)
    )


def _overrule_what_is_refused(
    commission: Commission, all_the_same: AllTheSame | None, *, at: datetime
) -> None:
    refusals = standing_refusals(commission)
    if not refusals:
        return
    if all_the_same is None:
        raise Refused(OVER_A_REFUSAL, "reason")
    if any(one.key not in all_the_same.seen for one in refusals):
        raise Refused(REFUSED_MEANWHILE, "reason")
    overrule(refusals, reason=all_the_same.reason, by=all_the_same.by, at=at)


def _held_to(draft: Draft, *, seen_total: int) -> Costing:
    """Hold the commission and return its price; Refused where a draft no longer fits it."""
    commission = draft.pricing.commission
    drawn_from = commission.version
    lock_commission(commission)
    if commission.state == Commission.State.DECLINED:
        raise Refused("It is declined. Take it up again before you send a price.")
    if draft.issue != next_issue(commission):
        raise Refused(
            f"Issue {draft.issue} was made meanwhile, in another tab or by someone else. "
            "Look at it before you issue another."
        )
    costing = price_commission(commission).costing
    if commission.version != drawn_from or costing != draft.pricing.costing:
        raise Refused(CHANGED)
    if costing.total != seen_total:
        raise Refused(CHANGED)
    return costing


@transaction.atomic
def accept_estimate(
    estimate: Estimate, *, at: datetime, all_the_same: AllTheSame | None = None
) -> Commission:
    """Take the client's yes: the work goes into the programme. A second yes changes nothing.

    What the layering rules refuse by now stands only with her reason, as at issuing: the room or
    the method may have changed since. Raises Refused for an issue that was replaced or has run
    out, a declined commission, or where that reason is wanting (field "reason").
    """
    commission = Commission.objects.select_for_update().get(pk=estimate.commission_id)
    estimate = Estimate.objects.get(pk=estimate.pk)
    if commission.state == Commission.State.DECLINED:
        raise Refused("It is declined. Take it up again first.")
    if estimate.accepted_at and commission.accepted_at:
        return commission
    if estimate.issue != next_issue(commission) - 1:
        raise Refused(f"Issue {estimate.issue} was replaced by a later one. Accept that instead.")
    studio = commission.studio
    if at.astimezone(studio.zone).date() > estimate.valid_until:
        until = show_date(estimate.valid_until, studio)
        raise Refused(f"It was valid until {until}. Issue it again with today's price.")
    _overrule_what_is_refused(commission, all_the_same, at=at)
    estimate.accepted_at = at
    estimate.save(update_fields=["accepted_at"])
    if not commission.in_hand and commission.state != Commission.State.DELIVERED:
        commission.state = Commission.State.ACCEPTED
        commission.accepted_at = at
        keep_record(commission)
    return commission


@transaction.atomic
def take_back_acceptance(commission: Commission) -> None:
    """Undo the client's yes: the commission is estimated again and leaves the programme.

    Raises Refused once work is logged, or where nothing is accepted.
    """
    lock_commission(commission)
    if not commission.in_hand:
        raise Refused("It is not in hand, so there is no acceptance to undo.")
    if reason := commission.why_work_kept(panel__surface__piece__commission=commission):
        raise Refused(f"{reason} Otherwise call the commission off: that keeps them.")
    commission.estimates.update(accepted_at=None)
    commission.state = Commission.State.ESTIMATED
    commission.accepted_at = None
    keep_record(commission)


@transaction.atomic
def set_line(
    commission: Commission,
    key: str,
    *,
    minutes: int | None,
    amount: int | None,
    reason: str,
    seen_version: int | None = None,
) -> LineOverride:
    """Set a line of the estimate by hand.

    `seen_version` is that of the line set before, or GONE where it stood as reckoned. Raises
    Refused where the line cannot be set so, Stale where it has been set or restored since.
    """
    line = price_commission(commission).line(key)
    if line is None:
        raise Refused("This line is no longer part of the estimate.")
    if key.startswith(EXTRA):
        raise Refused("This line is in your own words. Change it itself.")
    if not reason.strip():
        raise Refused("Say why, so that you know it later.", "reason")
    if minutes is None and amount is None:
        raise Refused("Give the hours or the amount this line shall have.", "amount")
    if minutes is not None and line.minutes is None:
        raise Refused("There are no hours in this line. Give an amount.", "minutes")
    row = LineOverride.objects.filter(commission=commission, key=key).first()
    if row is None and seen_version:
        raise Stale(STALE)
    row = row or LineOverride(commission=commission, key=key)
    row.minutes, row.amount, row.reason = minutes, amount, reason.strip()
    return keep_record(row, seen_version=seen_version)
