"""Work at the bench: sittings begun and ended, fingers held to paint, stints logged later."""

from datetime import datetime, timedelta

from django.db import IntegrityError, transaction
from django.db.models import Q, QuerySet

from jobs.domain.commissions import settle_state
from jobs.domain.gates import current_gate, gate_after, next_stage, show_gate
from jobs.domain.workshop import Workshop, odd_tests, workshop_of
from jobs.models import Sitting, Stage, TouchTest
from studio.domain.records import keep_record, remove_record
from studio.formats import show_date, show_time, show_when
from studio.models import Person
from studio.refusal import Refused
from studio.signals import announce_change

SLIP = timedelta(minutes=2)
"""Two like touch tests within this are one, tapped twice; no measured value."""
BEFORE_ITS_TIME = "Begun before the coat beneath was counted on to be dry."
SHORTEST = timedelta(seconds=1)
"""Begun and ended in one breath: it still has a length, and its end is not to come."""
ROOM = ("room_temperature", "room_humidity", "room_airing")
LONGEST_DAY = timedelta(hours=16)
"""Longer without a break is a forgotten end: common practice, no source."""
LONG_BEFORE = timedelta(days=60)
"""Work begun on trust before the yes is logged; a year typed wrongly is not. Common practice, no
source."""


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
    if reason := panel.commission.why_no_work():
        return reason
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
        opens = show_gate(gate.opens, panel.owner, now=at)
        mend = "If a finger says it is dry, record the touch test first."
        return (
            f"‘{gate.stage.name}’ is still drying: {gate.label} is counted on by {opens}. "
            f"{mend if gate.touchable else ''}"
        ).strip()
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
    stage: Stage, *, coat: int, result: str, by: Person, at: datetime, note: str = ""
) -> TouchTest:
    """Record what a finger found on a finished coat; it opens or holds the gate.

    The room is kept with it as the studio has it now.
    Raises Refused where there is no such coat yet, the moment comes before its end, or another
    coat lay over it by then.
    """
    room = {name: getattr(stage.owner, name) for name in ROOM}
    test = TouchTest(stage=stage, coat=coat, result=result, by=by, at=at, note=note, **room)
    last = _touched_before(test)
    if last and last.result == result and at - last.at < SLIP:
        return last
    return keep_record(test)


def _coat_over(stage: Stage, *, since: datetime, at: datetime) -> Stage | None:
    """Return the stage of a coat finished on the panel after `since` and by `at`, if any."""
    later = Sitting.objects.filter(
        stage__panel=stage.panel_id, finishes_coat=True, end__gt=since, end__lte=at
    )
    # Drawing and sanding cover nothing.
    over = (
        sitting.stage for sitting in later.select_related("stage") if sitting.stage.sort.is_coat
    )
    return next(over, None)


def touch_told(test: TouchTest, *, now: datetime) -> str:
    """Return in words what a recorded touch test means for its gate, and what is odd about it."""
    stage = Stage.objects.get(pk=test.stage_id)
    workshop = workshop_of(stage.owner)
    return " ".join([_gate_told(test, stage, workshop, now), *_oddities(test, stage, workshop)])


def touch_odd(test: TouchTest) -> tuple[str, ...]:
    """Return what is odd about a recorded touch test beside the others of its coat."""
    stage = Stage.objects.get(pk=test.stage_id)
    return _oddities(test, stage, workshop_of(stage.owner))


def _oddities(test: TouchTest, stage: Stage, workshop: Workshop) -> tuple[str, ...]:
    return tuple(one.sentence for one in odd_tests(stage, workshop) if test in one.tests)


def _gate_told(test: TouchTest, stage: Stage, workshop: Workshop, now: datetime) -> str:
    since = stage.coat_ends[test.coat - 1]
    gate = gate_after(stage, test.coat, since=since, workshop=workshop)
    noted = f"{stage.panel.name}: {test.get_result_display()}"
    if gate is None:
        return f"{noted} noted. No wait follows this coat."
    if gate.moved_by == test:
        return f"{noted}. The programme is made anew."
    if gate.open_at(now):
        return f"{noted} noted. By reckoning it is {gate.label} already."
    cannot = "no finger can" if test.result == TouchTest.Result.THROUGH else "a light touch cannot"
    return (
        f"{noted} noted. It waits until it is {gate.label} all the same, which {cannot} tell: "
        f"counted on by {show_gate(gate.opens, stage.owner, now=now)}."
    )


@transaction.atomic
def correct_touch_test(test: TouchTest, *, seen_version: int | None = None) -> TouchTest:
    """Save a touch test typed wrongly before. Raises Refused, as recording does, or Stale."""
    _touched_before(test)
    return keep_record(test, seen_version=seen_version)


def _touched_before(test: TouchTest) -> TouchTest | None:
    """Return the test of the same coat before this one. Raises Refused where it cannot follow."""
    ends = test.stage.coat_ends
    if not 1 <= test.coat <= len(ends):
        raise Refused("That coat is not painted yet, so there is nothing to touch.")
    if test.at < ends[test.coat - 1]:
        raise Refused("The touch test comes before the coat was finished. Check its time.", "at")
    if not test.stage.leaves_film:
        raise Refused(
            "Nothing was painted there, so there is no tack to feel: it has only to dry off.",
            "result",
        )
    if above := _coat_over(test.stage, since=ends[test.coat - 1], at=test.at):
        raise Refused(
            f"‘{above.name}’ lay over that coat by then, so a finger says nothing of it any more. "
            "Test the coat on top, or check the time.",
            "coat",
        )
    others = test.stage.touch_tests.exclude(pk=test.pk)
    last = others.filter(coat=test.coat, at__lte=test.at).last()
    undoes = last and last.dry and not test.dry
    # Two people may well differ: then both are kept, and the coat counts as wet.
    if undoes and last.by_id == test.by_id:
        when = show_when(last.at, test.owner, now=test.at)
        raise Refused(
            f"It was found {last.get_result_display()} {when} already. "
            "Remove that test first if it was wrong.",
            "result",
        )
    return last


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
    # What was forgotten may be written down after the handing over.
    if commission.state != commission.State.DELIVERED and (reason := commission.why_no_work()):
        raise Refused(reason)
    done = sitting.stage.sittings.filter(finishes_coat=True).exclude(pk=sitting.pk).count()
    if sitting.finishes_coat and done >= sitting.stage.coats:
        raise Refused("All coats of this stage are finished already.", "finishes_coat")
    check_touch_tests(sitting)
    keep_record(sitting, seen_version=seen_version)
    settle_state(commission)
    return sitting


def still_open(sitting: Sitting) -> str:
    """Return in a sentence what is left of a kept sitting's stage, or that it is done."""
    stage = Stage.objects.get(pk=sitting.stage_id)
    done = stage.coats_done
    if stage.done:
        return "The stage is done."
    if stage.coats == 1:
        return "The coat is still to be finished, and no drying is counted before that."
    left = stage.coats - done
    coats = "1 coat is" if left == 1 else f"{left} coats are"
    return f"{coats} still open: {done} of {stage.coats} finished."


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
