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
    there = {name: OuterRef(name) for name in ("stage", "coat", "person", "start")}
    return rows.annotate(pin=Subquery(Pin.objects.filter(**there).values("pk")[:1]))


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
    """The pins of a problem, and the troubles of those that fit it no more."""

    pins: tuple[engine.Pin, ...]
    troubles: tuple[Trouble, ...]


def pinned(
    pins: Iterable[Pin], panels: Iterable[engine.Panel], people: Collection[str], *, now: datetime
) -> Pinned:
    """Return the pins still to come as the engine has them, no longer than the work left.

    One for which no work is left on its coat, or whose person paints no more, is dropped with a
    trouble; one of a coat that is finished or not agreed work counts for nothing.
    """
    places = {task.key: (panel, task) for panel in panels for task in panel.tasks}
    left = {key: -(-task.minutes * MINUTE // SLOT) * SLOT for key, (_, task) in places.items()}
    kept: list[engine.Pin] = []
    troubles: list[Trouble] = []
    for pin in sorted(pins, key=lambda pin: (pin.start, pin.pk or 0)):
        key = task_key(pin.stage, pin.coat)
        if key not in places or pin.start < now:
            continue
        panel, person = places[key][0], str(pin.person_id)
        start, end = _on_slots(pin)
        end = min(end, start + left[key])
        if person in people and end > start:
            left[key] -= end - start
            kept.append(engine.Pin(panel.key, key, person, start, end))
        else:
            troubles.append(Trouble(TroubleKind.PIN_EARLY, panel.commission, panel.key, key))
    return Pinned(tuple(kept), tuple(troubles))


def _on_slots(pin: Pin) -> tuple[datetime, datetime]:
    start, end = pin.start.astimezone(UTC), pin.end.astimezone(UTC)
    return start - (start - EPOCH) % SLOT, end + -(end - EPOCH) % SLOT
