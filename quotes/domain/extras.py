"""Lines of the estimate in her own words: collection, delivery, a design drawing."""

from django.db import transaction
from django.db.models import Max

from quotes.models import ExtraLine
from studio.domain.records import keep_record
from studio.refusal import Refused


@transaction.atomic
def keep_extra(extra: ExtraLine, *, seen_version: int | None = None) -> ExtraLine:
    """Save a line of her own; a new one stands last.

    Raises Refused unless it has words and either minutes or an amount of nothing or more.
    """
    if not extra.text.strip():
        raise Refused("Say what it is: the client reads this.", "text")
    if extra.minutes is None and extra.amount is None:
        raise Refused("Give the minutes or the amount of this line.", "amount")
    if extra.minutes is not None and extra.amount is not None:
        raise Refused("Give either minutes or an amount, not both.", "amount")
    if extra.minutes is not None and extra.minutes < 1:
        raise Refused("Minutes here cannot be zero or less.", "minutes")
    if extra.amount is not None and extra.amount < 0:
        raise Refused("An amount cannot be negative.", "amount")
    if not extra.pk:
        last = extra.commission.extras.aggregate(last=Max("position"))["last"]
        extra.position = (last or 0) + 1
    return keep_record(extra, seen_version=seen_version)
