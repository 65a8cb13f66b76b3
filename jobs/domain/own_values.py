"""The values of the paint tables that a studio puts its own in place of."""

from collections.abc import Mapping
from dataclasses import dataclass, field
from decimal import Decimal, InvalidOperation

from django.db import transaction

from jobs.models import OwnValue
from jobs.paint.binders import Binder, binder
from jobs.paint.gates import GATES, NO_WAIT
from jobs.paint.pigments import drying_classes, pigment
from studio.domain.records import keep_record
from studio.models import Studio
from studio.refusal import Refused

BINDERS, PIGMENTS = "binders", "pigments"
DRYING = "drying"
WAITS = tuple(gate for gate in GATES if gate != NO_WAIT.key)
OWN_COLUMNS: Mapping[str, tuple[str, ...]] = {BINDERS: WAITS, PIGMENTS: (DRYING,)}
"""What a studio may say otherwise, by table. Rates, waste and packs stand in its materials."""


@dataclass(frozen=True)
class OwnValues:
    """A studio's own hours to each gate by binder, and drying classes by pigment."""

    hours: Mapping[str, Mapping[str, float]] = field(default_factory=dict)
    classes: Mapping[str, str] = field(default_factory=dict)

    def binder(self, key: str) -> Binder:
        """Return a binder with the studio's own waits. ValueError for an unknown one."""
        found = binder(key)
        return found.with_hours(self.hours[key]) if key in self.hours else found


def own_values(studio: Studio) -> OwnValues:
    """Return what the studio says otherwise than the paint tables."""
    hours: dict[str, dict[str, float]] = {}
    classes = {}
    for row in studio.own_values.all():
        if row.table == BINDERS:
            hours.setdefault(row.row, {})[row.column] = float(row.value)
        else:
            classes[row.row] = row.value
    return OwnValues(hours, classes)


@transaction.atomic
def keep_own_value(value: OwnValue, *, seen_version: int | None = None) -> OwnValue:
    """Save a studio's own value; the programme counts with it from now on.

    Raises Refused where the tables hold no such place, or the value makes no sense there.
    """
    if value.column not in OWN_COLUMNS.get(value.table, ()):
        raise Refused("The tables hold no such value to put your own in place of.")
    try:
        if value.table == BINDERS:
            _check_hours(value)
        else:
            pigment(value.row)
            if value.value not in drying_classes():
                raise Refused("Choose one of the drying classes.", "value")
    except ValueError as error:
        raise Refused(str(error), "value") from error
    return keep_record(value, seen_version=seen_version)


def _check_hours(value: OwnValue) -> None:
    try:
        typed = Decimal(value.value)
    except InvalidOperation as error:
        raise Refused("Type hours as a number, such as 36.", "value") from error
    others = value.studio.own_values.filter(table=BINDERS, row=value.row).exclude(pk=value.pk)
    hours = {row.column: float(row.value) for row in others}
    binder(value.row).with_hours(hours | {value.column: float(typed)})
