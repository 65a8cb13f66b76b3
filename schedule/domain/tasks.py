"""From a panel's method to the planner's tasks: hours, waits, palettes, earliest starts."""

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from datetime import UTC, date, datetime, timedelta
from zoneinfo import ZoneInfo

from jobs.domain.gates import Opening, finished_coats, gate_after, gate_kind, gate_wait
from jobs.domain.layering import open_for
from jobs.domain.reckoning import minutes_left, reckon
from jobs.domain.to_come import ToCome, paint_to_come, piece_to_come
from jobs.domain.workshop import Workshop
from jobs.models import Panel, Stage, Surface
from jobs.paint.gates import NO_WAIT, RECOAT, TOUCH_DRY
from schedule.domain.hours import day_starts
from schedule.engine import problem as engine
from schedule.engine.calendar import Window

OPPOSITE = {
    Surface.Face.FRONT: Surface.Face.BACK,
    Surface.Face.BACK: Surface.Face.FRONT,
    Surface.Face.LEFT: Surface.Face.RIGHT,
    Surface.Face.RIGHT: Surface.Face.LEFT,
}
"""What a piece lies on while a face of it is worked flat; for its top nothing is turned."""
MINUTE = timedelta(minutes=1)


@dataclass(frozen=True)
class Terms:
    """What the tasks of all panels hang on beside their own methods.

    `windows` are those of everybody together, `room` the longest sitting that any of them has
    room for, in minutes. `some_do` are the kinds of work that not everybody does; `comes` is the
    day on which a binder on order is there. `rack` says that room on the drying rack is short.
    """

    now: datetime
    zone: ZoneInfo
    windows: tuple[Window, ...]
    room: int
    workshop: Workshop
    some_do: frozenset[str]
    comes: Mapping[str, date]
    rack: bool

    def some_hours_before(self, moment: datetime) -> bool:
        """Return whether anybody may be at the bench between now and an instant."""
        return any(one.start < moment and one.end > self.now for one in self.windows)

    def not_before(self, waits: Iterable[ToCome]) -> datetime | None:
        """Return when all that is waited for is there, None where that is past."""
        moments = [day_starts(one.day, self.zone) for one in waits]
        return max((one for one in moments if one > self.now), default=None)


def task_key(stage: Stage, coat: int) -> str:
    return f"{stage.pk}:{coat}"


def faces_of(panels: Iterable[Panel]) -> dict[str, engine.Face]:
    """Return the fixed faces of turned pieces that lie on a painted one, or bear one, by key."""
    there = {
        (surface.piece_id, surface.face)
        for surface in (panel.surface for panel in panels)
        if surface.piece.turned and not surface.removable
    }
    return {
        f"{piece}:{face}": engine.Face(f"{piece}:{face}", (f"{piece}:{OPPOSITE[face]}",))
        for piece, face in sorted(there)
        if (piece, OPPOSITE.get(face)) in there
    }


def panel_left(
    panel: Panel, gate: Opening | None, faces: Mapping[str, engine.Face], terms: Terms
) -> engine.Panel:
    """Return what is left of a panel; `gate` is the one that runs on it now.

    Reads what `for_bench` fetches.
    """
    surface = panel.surface
    face = f"{surface.piece_id}:{surface.face}"
    face = face if face in faces and not surface.removable else ""
    guarded = bool(face) or (terms.rack and surface.removable)
    opens = gate.opens.astimezone(UTC) if gate else None
    touched, within = _touched(panel, terms), None
    if wet := _wet_coat_beneath(panel, terms):
        stage, since, wait = wet
        if terms.some_hours_before(since + wait):
            touched, within = since, wait
        else:
            # It has set: what was to be worked into it becomes a coat of its own.
            over = gate_after(
                stage, stage.coats, since=since, workshop=terms.workshop, kind=RECOAT.key
            )
            opens = over.opens.astimezone(UTC) if over else opens
    stages = panel.stages.all()
    return engine.Panel(
        key=str(panel.pk),
        commission=str(panel.commission.pk),
        tasks=tuple(_tasks(panel, within, guarded, terms)),
        opens=opens,
        not_before=terms.not_before(piece_to_come(stages[0]) if stages else ()),
        face=face,
        rack=surface.removable,
        part=f"surface {surface.pk}" if surface.removable else "",
        touched=touched,
        wet_until=_wet_until(panel, terms) if guarded else None,
    )


def _wet_coat_beneath(panel: Panel, terms: Terms) -> tuple[Stage, datetime, timedelta] | None:
    """Return the stage whose wet coat the next one is to be worked into, since when, how long.

    In a room that changed, what it has dried so far it did at the pace of the old one. None where
    the next stage waits, is begun, or there is none.
    """
    stages = list(panel.stages.all())
    place = next((n for n, stage in enumerate(stages) if not stage.done), 0)
    laid = finished_coats(panel)
    if not place or stages[place].sittings.all() or not laid or laid[-1][-1] != stages[place - 1]:
        return None
    under, since = stages[place - 1], laid[-1][0].astimezone(UTC)
    wait = _open_for(under, stages[place], terms)
    if not wait:
        return None
    lain = terms.workshop.ageing(under, TOUCH_DRY.key, since=since)
    return under, since, (lain.when(wait) - since) // MINUTE * MINUTE


def _open_for(under: Stage, stage: Stage, terms: Terms) -> timedelta | None:
    """Return how long a coat stays open for the stage worked into it, in whole minutes.

    What sets within a slot, as acrylic does, sets under her hand: no plan can be bound by it.
    """
    wait = open_for(under, stage, terms.workshop)
    return wait // MINUTE * MINUTE if wait and wait >= engine.SLOT else None


def _touched(panel: Panel, terms: Terms) -> datetime | None:
    """Return when a hand was last on the panel, None for never."""
    hands = [
        (sitting.end or sitting.start).astimezone(UTC)
        for stage in panel.stages.all()
        for sitting in stage.sittings.all()
    ]
    return min(max(hands), terms.now) if hands else None


def _wet_until(panel: Panel, terms: Terms) -> datetime | None:
    """Return until when nothing may touch the last coat laid; None for as long as it waits."""
    laid = finished_coats(panel)
    if not laid:
        return None
    since, _, coat, stage = laid[-1]
    gate = gate_after(stage, coat, since=since, workshop=terms.workshop, kind=TOUCH_DRY.key)
    return (gate.opens if gate else since).astimezone(UTC)


def _tasks(
    panel: Panel, within: timedelta | None, guarded: bool, terms: Terms
) -> Iterator[engine.Task]:
    """Yield the coats left; the first has so long in which it must be begun, where it is wet."""
    before: Stage | None = None
    for stage in panel.stages.all():
        if stage.done:
            before = None
            continue
        if before is not None:
            within = _open_for(before, stage, terms)
        left = minutes_left(stage, now=terms.now)
        for coat, minutes in enumerate(left, start=stage.coats_done + 1):
            yield _task(stage, coat, minutes, within, guarded, terms)
            within = None
        before = stage


def _task(
    stage: Stage,
    coat: int,
    minutes: int,
    within: timedelta | None,
    guarded: bool,
    terms: Terms,
) -> engine.Task:
    running = stage.running if coat == stage.coats_done + 1 else None
    shortest, longest = _sitting_bounds(stage, minutes, terms.room)
    slots = -(-minutes * MINUTE // engine.SLOT)
    if running and minutes <= longest:
        # It goes on from this minute, and so may end in a slot more than its minutes fill.
        longest = max(longest, (slots + 1) * engine.SLOT // MINUTE)
    return engine.Task(
        key=task_key(stage, coat),
        minutes=minutes,
        shortest=shortest,
        longest=longest,
        gate=_gate(stage, coat, guarded, terms.workshop),
        begun_by=str(running.person_id) if running else "",
        # She who is at it does it.
        skill=stage.kind if stage.kind in terms.some_do and not running else "",
        mix=_palette(stage),
        set_up=_set_up(stage, coat, minutes),
        # Open is open to begin: what is begun in time is worked on to its end.
        within=within + slots * engine.SLOT if within else None,
        not_before=None if running else terms.not_before(paint_to_come(stage, terms.comes)),
    )


def _gate(stage: Stage, coat: int, guarded: bool, workshop: Workshop) -> engine.Gate | None:
    kind = gate_kind(stage, coat)
    # A cold, damp room can stretch a wait beyond what any programme could count on.
    wait = min(gate_wait(stage, coat, workshop), engine.LONGEST_WAIT)
    if kind == NO_WAIT.key or not wait:
        return None
    if not guarded:
        return engine.Gate(kind, wait)
    touch = workshop.wait(stage, TOUCH_DRY.key, coat=coat).at(workshop.likelihood)
    return engine.Gate(kind, wait, wet=min(touch, wait))


def _palette(stage: Stage) -> str:
    """Return the key of the paint that is mixed for a stage, "" where no colour is named."""
    if stage.mix_id:
        return f"mix {stage.mix_id} in {stage.binder}"
    panel = stage.panel
    if stage.sort.places_ground and panel.ground_decided:
        return f"{panel.ground_name} {panel.ground_colour} in {stage.binder}"
    return ""


def _set_up(stage: Stage, coat: int, minutes: int) -> int:
    """Return the minutes of a coat not begun that fall away where its paint is mixed already."""
    hours = reckon(stage)
    begun = minutes < hours.per_coat[coat - 1]
    set_up = stage.sort.set_up if hours.set_up and _palette(stage) and not begun else 0
    return set_up if set_up < minutes else 0


def _sitting_bounds(stage: Stage, minutes: int, room: int) -> tuple[int, int]:
    """Return the shortest and longest sitting on a coat of so many minutes.

    A coat that must be laid in one go is one sitting, where any window has `room` for it. Whoever
    has no hours for a sitting of a good length has shorter ones, down to twice the set-up.
    """
    if stage.sort.unbroken and minutes <= room:
        return minutes, minutes
    return min(stage.sort.shortest, max(room, 2 * stage.sort.set_up)), stage.sort.longest


def longest_sitting(windows: Sequence[Window]) -> int:
    """Return the minutes of the longest window, less a slot that may be lost at its edges."""
    longest = max((window.end - window.start for window in windows), default=engine.SLOT)
    return (longest - engine.SLOT) // MINUTE
