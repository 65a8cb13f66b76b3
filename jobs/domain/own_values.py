"""The values of the paint tables that a studio puts its own in place of."""

from collections.abc import Mapping
from dataclasses import dataclass, field
from decimal import Decimal, InvalidOperation
from itertools import pairwise

from django.db import transaction

from jobs.models import OwnValue
from jobs.paint.binders import Binder, binder
from jobs.paint.gates import GATES, NO_WAIT
from jobs.paint.opacity import opacity_classes
from jobs.paint.pigments import drying_classes, pigment
from jobs.paint.words import lasting
from studio.domain.records import STALE, hold_studio, keep_record, remove_record
from studio.formats import show_number
from studio.models import Studio
from studio.refusal import Refused, Stale
from studio.signals import hold_changes

BINDERS, PIGMENTS = "binders", "pigments"
DRYING, OPACITY = "drying", "opacity"
WAITS = tuple(gate for gate in GATES if gate != NO_WAIT.key)
OWN_COLUMNS: Mapping[str, tuple[str, ...]] = {BINDERS: WAITS, PIGMENTS: (DRYING, OPACITY)}
"""What a studio may say otherwise, by table. Rates, waste and packs stand in its materials."""


@dataclass(frozen=True)
class OwnValues:
    """A studio's own hours to each gate by binder, drying and opacity classes by pigment."""

    hours: Mapping[str, Mapping[str, float]] = field(default_factory=dict)
    classes: Mapping[str, str] = field(default_factory=dict)
    opacities: Mapping[str, str] = field(default_factory=dict)

    def binder(self, key: str) -> Binder:
        """Return a binder with the studio's own waits. ValueError for an unknown one.

        A wait of the table's that is shorter than her own to an earlier gate, since the table
        was mended, lasts as long as that.
        """
        found = binder(key)
        own = dict(self.hours.get(key, {}))
        longest = 0.0
        for gate, wait in found.waits.items():
            hours = own.get(gate, wait.hours)
            if hours < longest:
                own[gate] = longest
            longest = max(longest, hours)
        return found.with_hours(own) if own else found


def own_values(studio: Studio) -> OwnValues:
    """Return what the studio says otherwise than the paint tables."""
    hours: dict[str, dict[str, float]] = {}
    classes: dict[str, dict[str, str]] = {DRYING: {}, OPACITY: {}}
    for row in studio.own_values.all():
        if row.column not in own_columns(row.table, row.row):
            # The tables have moved on from under it.
            continue
        if row.table == BINDERS:
            hours.setdefault(row.row, {})[row.column] = float(row.value)
        elif row.value in classes_of(row.column):
            classes[row.column][row.row] = row.value
    return OwnValues(hours, classes[DRYING], classes[OPACITY])


def classes_of(column: str) -> tuple[str, ...]:
    """Return the keys that a pigment's column may hold: drying or opacity classes."""
    return tuple(drying_classes() if column == DRYING else opacity_classes())


def own_columns(table: str, row: str) -> tuple[str, ...]:
    """Return which values of a row a studio may put its own in place of; none for most rows."""
    columns = OWN_COLUMNS.get(table, ())
    try:
        waits = binder(row).waits if table == BINDERS else pigment(row) if columns else None
    except ValueError:
        return ()
    return columns if waits else ()


def own_row(studio: Studio, *, table: str, row: str) -> dict[str, OwnValue]:
    """Return the studio's own values of one row by column."""
    return {each.column: each for each in studio.own_values.filter(table=table, row=row)}


def seen_row(kept: Mapping[str, OwnValue]) -> str:
    """Return by what a form knows later whether the values it was drawn from still stand."""
    return " ".join(f"{each.pk}.{each.version}" for each in kept.values())


@transaction.atomic
def keep_own_row(
    studio: Studio,
    *,
    table: str,
    row: str,
    values: Mapping[str, str],
    reason: str = "",
    seen: str | None = None,
) -> None:
    """Keep a studio's own values of one row, by column; the programme counts with them now.

    A column that is left out, or is "", is the table's again. Hours are written with a point.
    `seen` is `seen_row` of when the form was drawn. Raises Refused where the tables hold no
    such place or a value makes no sense there, and Stale where they were changed meanwhile.
    """
    hold_studio(studio)
    given = {column: value for column, value in values.items() if value}
    if not set(given) <= set(own_columns(table, row)):
        raise Refused("The tables hold no such value to put your own in place of.")
    kept = own_row(studio, table=table, row=row)
    if seen is not None and seen != seen_row(kept):
        raise Stale(STALE)
    if table == BINDERS:
        _check_hours(studio, row, given)
    for column in set(given) & {DRYING, OPACITY}:
        if given[column] not in classes_of(column):
            raise Refused(f"Choose one of the {column} classes.", column)
    if reason and not given and not kept:
        raise Refused("A reason for what? Say what you put in place of the table’s.", "reason")
    with hold_changes():
        for column in set(kept) - set(given):
            remove_record(kept[column])
        for column, value in given.items():
            place = {"table": table, "row": row, "column": column}
            own = kept.get(column) or OwnValue(studio=studio, **place)
            if (own.value, own.reason) != (value, reason):
                own.value, own.reason = value, reason
                keep_record(own)


def put_back(studio: Studio, *, table: str, row: str) -> None:
    """Let the table's values of a row count again."""
    keep_own_row(studio, table=table, row=row, values={})


def _check_hours(studio: Studio, row: str, given: Mapping[str, str]) -> None:
    """Refuse hours that are none, or a gate that opens before an earlier one."""
    paint = binder(row)
    own = {}
    for gate, value in given.items():
        try:
            own[gate] = float(Decimal(value))
        except InvalidOperation as error:
            raise Refused("Type hours as a number, such as 36.", gate) from error
        try:
            # One gate by itself among open ones: only its own bounds can be at fault.
            paint.with_hours(dict.fromkeys(WAITS, own[gate]))
        except ValueError as error:
            raise Refused(str(error), gate) from error
    hours = {gate: own.get(gate, paint.waits[gate].hours) for gate in WAITS}
    for earlier, later in pairwise(WAITS):
        if hours[later] < hours[earlier]:
            told = [
                lasting(hours[gate], lambda n: show_number(n, studio)) for gate in (earlier, later)
            ]
            mend = "" if later in own else f" The table says {told[1]}: type your own there too."
            raise Refused(
                f"It cannot be {GATES[later].label} before it is {GATES[earlier].label}, which is "
                f"{told[0]} here.{mend}",
                later if later in own else earlier,
            )
