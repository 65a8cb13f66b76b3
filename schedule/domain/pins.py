"""Sittings that she fixed herself, as the planner has them."""

from collections.abc import Collection, Iterable
from dataclasses import dataclass
from datetime import UTC, datetime, timedelta

from django.db.models import Count, F, OuterRef, Q, QuerySet, Subquery

from schedule.domain.tasks import task_key
from schedule.engine import problem as engine
from schedule.engine.calendar import Window
from schedule.engine.plan import Trouble, TroubleKind
from schedule.engine.problem import EPOCH, SLOT
from schedule.models import Pin
from studio.models import Studio

MINUTE = timedelta(minutes=1)


def with_pins(rows: QuerySet) -> QuerySet:
    """Return planned sittings, each with the key of the pin that holds it as `pin`, or None."""
    return rows.annotate(pin=Subquery(Pin.objects.filter(holds()).values("pk")[:1]))


def holds() -> Q:
    """Return what is true of a pin that holds the planned sitting of the outer query.

    Once its time has come, what is left of it begins later than it was fixed for.
    """
    there = {name: OuterRef(name) for name in ("stage", "coat", "person")}
    return Q(start__lte=OuterRef("start"), end__gt=OuterRef("start"), **there)


def not_over(studio: Studio, *, now: datetime) -> QuerySet:
    """Return the pins of a studio that are still to come, or of which some is."""
    return studio.pins.filter(end__gt=next_slot(now)).select_related("stage")


def next_slot(now: datetime) -> datetime:
    """Return the first instant from now on at which a sitting can be planned to begin."""
    return now + (EPOCH - now) % SLOT


def is_outside_hours(pin: Pin, windows: Iterable[Window]) -> bool:
    """Return whether a fixed sitting lies, wholly or in part, outside somebody's windows."""
    return not any(one.start <= pin.start and pin.end <= one.end for one in windows)


def drop_done(studio: Studio) -> None:
    """Remove the pins of coats that are finished."""
    finished = Count("stage__sittings", filter=Q(stage__sittings__finishes_coat=True))
    pins = Pin.objects.of(studio).annotate(finished=finished)
    done = [pin.pk for pin in pins.filter(coat__lte=F("finished"))]
    if done:
        Pin.objects.filter(pk__in=done).delete()


@dataclass(frozen=True)
class Pinned:
    """The pins of a problem, and the troubles of those that fit it no more.

    `whole` are the same pins as she fixed them, whatever of them has gone by.
    """

    pins: tuple[engine.Pin, ...]
    troubles: tuple[Trouble, ...]
    whole: tuple[engine.Pin, ...]


def pinned(
    pins: Iterable[Pin], panels: Iterable[engine.Panel], people: Collection[str], *, now: datetime
) -> Pinned:
    """Return the pins still to come as the engine has them, no longer than the work left.

    Of one whose time has come the rest is held, unless somebody is at its coat and so goes on.
    One for which no work is left on its coat, or whose person paints no more, is dropped with a
    trouble; one of a coat that is finished or not agreed work counts for nothing.
    """
    places = {task.key: (panel, task) for panel in panels for task in panel.tasks}
    left = {key: -(-task.minutes * MINUTE // SLOT) * SLOT for key, (_, task) in places.items()}
    first = next_slot(now).astimezone(UTC)
    kept: list[engine.Pin] = []
    whole: list[engine.Pin] = []
    troubles: list[Trouble] = []
    for pin in sorted(pins, key=lambda pin: (pin.start, pin.pk or 0)):
        key = task_key(pin.stage, pin.coat)
        start, end = _on_slots(pin)
        if key not in places or end <= first:
            continue
        (panel, task), person = places[key], str(pin.person_id)
        as_fixed = engine.Pin(panel.key, key, person, start, end)
        if start < first and task.begun_by:
            whole.append(as_fixed)
            continue
        start = max(start, first)
        end = min(end, start + left[key])
        if person in people and end > start:
            left[key] -= end - start
            kept.append(engine.Pin(panel.key, key, person, start, end))
            whole.append(as_fixed)
        else:
            troubles.append(Trouble(TroubleKind.PIN_EARLY, panel.commission, panel.key, key))
    return Pinned(tuple(kept), tuple(troubles), tuple(whole))


def _on_slots(pin: Pin) -> tuple[datetime, datetime]:
    start, end = pin.start.astimezone(UTC), pin.end.astimezone(UTC)
    return start - (start - EPOCH) % SLOT, end + -(end - EPOCH) % SLOT
