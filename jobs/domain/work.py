"""Work at the bench: sittings begun and ended, fingers held to paint, stints logged later."""

from datetime import datetime, timedelta

from django.db import IntegrityError, transaction
from django.db.models import Q, QuerySet

from jobs.domain.commissions import settle_state
from jobs.domain.gates import current_gate, next_stage
from jobs.models import Sitting, Stage, TouchTest
from studio.domain.records import keep_record, remove_record
from studio.formats import show_date, show_time, show_when
from studio.models import Person
from studio.refusal import Refused
from studio.signals import announce_change

SLIP = timedelta(minutes=2)
"""Two like touch tests within this are one, tapped twice."""
BEFORE_ITS_TIME = "Begun before the coat beneath was counted on to be dry."
SHORTEST = timedelta(seconds=1)
"""Begun and ended in one breath: it still has a length, and its end is not to come."""
ROOM = ("room_temperature", "room_humidity", "room_airing")
LONGEST_DAY = timedelta(hours=16)
LONG_BEFORE = timedelta(days=60)
"""Work begun on trust before the yes is logged; a year typed wrongly is not."""


@transaction.atomic
def start_sitting(stage: Stage, *, person: Person, at: datetime, anyway: bool = False) -> Sitting:
    """Begin work on a stage; a second tap finds the sitting already begun.

    Raises Refused where she is at another panel, it is not this stage's turn, or the coat
    beneath is not dry; with `anyway` she knows better than the gate, and the log says so.
    """
    Person.objects.select_for_update().get(pk=person.pk)
    going_on = Sitting.objects.filter(person=person, end=None).select_related("stage__panel")
    if running := going_on.first():
        if running.stage_id == stage.pk:
            return running
        since = show_time(running.start, person.studio)
        raise Refused(
            f"You are at ‘{running.stage.panel.name}’ since {since}. End that sitting first."
        )
    if reason := why_not_start(stage):
        raise Refused(reason)
    wet = still_drying(stage, at=at)
    if wet and not anyway:
        raise Refused(wet)
    note = BEFORE_ITS_TIME if wet else ""
    try:
        with transaction.atomic():
            sitting = Sitting.objects.create(stage=stage, person=person, start=at, note=note)
    except IntegrityError as error:
        raise Refused("You are already at another panel. End that sitting first.") from error
    settle_state(stage.panel.commission)
    announce_change(stage.owner)
    return sitting


def why_not_start(stage: Stage) -> str:
    """Return why it is not this stage's turn, or ""."""
    panel = stage.panel
    if not panel.commission.in_hand:
        return "The commission is not accepted yet: work is logged from then on."
    if stage.done:
        return "This stage is done."
    first = next_stage(panel)
    if first.pk != stage.pk:
        return f"‘{first.name}’ comes first on this panel."
    return ""


def still_drying(stage: Stage, *, at: datetime) -> str:
    """Return why the coat beneath is not counted on to be dry at an instant, or ""."""
    panel = stage.panel
    gate = current_gate(panel)
    if gate and not gate.open_at(at):
        opens = show_when(gate.opens, panel.owner, now=at)
        return (
            f"‘{gate.stage.name}’ is still drying: {gate.label} is counted on by {opens}. "
            "If a finger says it is dry, record the touch test first."
        )
    return ""


@transaction.atomic
def stop_sitting(sitting: Sitting, *, at: datetime, finishes_coat: bool, note: str = "") -> Sitting:
    """End a sitting, with its coat finished or to be gone on with; a second tap changes nothing."""
    sitting = Sitting.objects.select_for_update().select_related("stage__panel").get(pk=sitting.pk)
    if sitting.end:
        return sitting
    stage = Stage.objects.select_for_update().get(pk=sitting.stage_id)
    sitting.end = max(at, sitting.start + SHORTEST)
    # Two may have sat at one coat: whoever ends last finds it finished.
    sitting.finishes_coat = finishes_coat and not stage.done
    if note:
        sitting.note = note
    keep_record(sitting)
    settle_state(sitting.stage.panel.commission)
    return sitting


@transaction.atomic
def record_touch_test(
    stage: Stage,
    *,
    coat: int,
    result: str,
    by: Person,
    at: datetime,
    note: str = "",
    room: TouchTest | None = None,
) -> TouchTest:
    """Record what a finger found on a finished coat; it opens or holds the gate.

    The room is kept with it as the studio has it now, or as `room` had it.
    Raises Refused where there is no such coat yet or the moment lies outside its drying.
    """
    ends = stage.coat_ends
    if not 1 <= coat <= len(ends):
        raise Refused("That coat is not painted yet, so there is nothing to touch.")
    if at < ends[coat - 1]:
        raise Refused("The touch test comes before the coat was finished. Check its time.", "at")
    last = stage.touch_tests.filter(coat=coat, at__lte=at).last()
    if last and last.result == result and at - last.at < SLIP:
        return last
    undoes = last and last.result == TouchTest.Result.DRY and result != TouchTest.Result.DRY
    # Two people may well differ: then both are kept, and the coat counts as wet.
    if undoes and last.by_id == by.pk:
        when = show_when(last.at, stage.owner, now=at)
        raise Refused(
            f"It was found touch-dry {when} already. Remove that test first if it was wrong.",
            "result",
        )
    kept = {name: getattr(room or stage.owner, name) for name in ROOM}
    test = TouchTest(stage=stage, coat=coat, result=result, by=by, at=at, note=note, **kept)
    return keep_record(test)


@transaction.atomic
def correct_touch_test(
    test: TouchTest, *, coat: int, result: str, at: datetime, note: str = ""
) -> TouchTest:
    """Replace a touch test typed wrongly. Raises Refused, as recording does, and keeps the old."""
    stage, by = test.stage, test.by
    remove_record(test)
    return record_touch_test(stage, coat=coat, result=result, by=by, at=at, note=note, room=test)


@transaction.atomic
def keep_sitting(sitting: Sitting, *, now: datetime, seen_version: int | None = None) -> Sitting:
    """Save a sitting typed by hand.

    Raises Refused for an end before the start, a time to come, a stint no one sits through, or
    one that overlaps another of the same person.
    """
    commission = sitting.stage.panel.commission
    if sitting.start > now:
        raise Refused("Work that is still to come is planned, not logged.", "start")
    if commission.accepted_at and sitting.start < commission.accepted_at - LONG_BEFORE:
        agreed = show_date(commission.accepted_at, commission.studio)
        raise Refused(f"That is long before the commission was accepted, {agreed}.", "start")
    if sitting.end:
        if sitting.end <= sitting.start:
            raise Refused("The end must come after the start.", "end")
        if sitting.end > now:
            raise Refused("The end lies in the future.", "end")
        if sitting.end - sitting.start > LONGEST_DAY:
            raise Refused("More than 16 hours without a break? Log it as several sittings.", "end")
    elif sitting.finishes_coat:
        raise Refused("Say when it ended, so that the drying can be counted from then.", "end")
    if clash := overlapping(sitting):
        raise Refused(
            f"{sitting.person.name} was at ‘{clash.stage.panel.name}’ then. "
            "One person sits at one panel at a time.",
            "start",
        )
    if not commission.in_hand and commission.state != commission.State.DELIVERED:
        raise Refused("The commission is not accepted yet: work is logged from then on.")
    done = sitting.stage.sittings.filter(finishes_coat=True).exclude(pk=sitting.pk).count()
    if sitting.finishes_coat and done >= sitting.stage.coats:
        raise Refused("All coats of this stage are finished already.", "finishes_coat")
    check_touch_tests(sitting)
    keep_record(sitting, seen_version=seen_version)
    settle_state(commission)
    return sitting


def touched_since(sitting: Sitting) -> QuerySet[TouchTest]:
    """Return the touch tests held to the coat that a kept sitting finished, or to later ones."""
    stage = Stage.objects.get(pk=sitting.stage_id)
    kept = stage.sittings.filter(pk=sitting.pk, finishes_coat=True, end__isnull=False).first()
    if kept is None:
        return stage.touch_tests.none()
    return stage.touch_tests.filter(coat__gt=stage.coat_ends.index(kept.end))


def check_touch_tests(sitting: Sitting) -> None:
    """Raise Refused where a changed sitting would take a touch test's coat from under it."""
    tests = touched_since(sitting)
    if not sitting.finishes_coat and tests.exists():
        raise Refused(
            "A touch test was held to this coat. Remove the touch test first.", "finishes_coat"
        )
    if sitting.end and tests.filter(at__lt=sitting.end).exists():
        raise Refused("A touch test was held to this coat before that.", "end")


def overlapping(sitting: Sitting) -> Sitting | None:
    """Return another sitting of the same person that shares time with this one."""
    others = Sitting.objects.filter(person=sitting.person).exclude(pk=sitting.pk)
    others = others.filter(Q(end__isnull=True) | Q(end__gt=sitting.start))
    if sitting.end:
        others = others.filter(start__lt=sitting.end)
    return others.select_related("stage__panel").first()


@transaction.atomic
def remove_sitting(sitting: Sitting) -> None:
    """Take back a sitting logged by mistake; the panel stands as if it had not been.

    Raises Refused where a later touch test was held to the coat it finished.
    """
    stage = sitting.stage
    if touched_since(sitting).exists():
        raise Refused("A touch test was held to this coat. Remove the touch test first.")
    remove_record(sitting)
    settle_state(stage.panel.commission)
