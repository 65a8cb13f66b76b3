"""Load the demo: the scenario played from its first enquiry up to this minute."""

from collections.abc import Iterable
from datetime import UTC, datetime, time, timedelta
from random import Random

from django.db import transaction

from jobs.domain.commissions import hand_over, open_commission
from jobs.domain.gates import current_gate
from jobs.domain.methods import keep_step
from jobs.domain.mixes import keep_mix, keep_sibling
from jobs.domain.places import keep_panel, keep_surface, mirror_panel
from jobs.domain.work import record_touch_test, start_sitting, stop_sitting
from jobs.domain.workshop import Workshop, workshop_of
from jobs.labour.stages import stage_kind
from jobs.models import Client, Commission, Mix, Panel, Piece, Stage, Surface
from quotes.demo.scenario import (
    CLIENTS,
    COMMISSIONS,
    DARKER,
    DRAWN_IN_WHITE,
    EMAIL,
    MIXES,
    PASSWORD,
    STAGE_MIXES,
    CommissionPlan,
    PanelPlan,
    SurfacePlan,
)
from quotes.domain.estimates import accept_estimate, issue_estimate
from quotes.papers import draft_estimate
from schedule.domain.fixing import fix_sitting
from schedule.domain.problem import build_problem
from schedule.domain.programme import planned_sittings
from schedule.engine.planner import make_plan
from studio.domain.opening import USUAL_DAYS, open_studio
from studio.domain.records import keep_record
from studio.models import DatedHours, DayOff, Person, Studio
from studio.signals import hold_changes

MM = 10
"""The scenario speaks in millimetres, the record in tenths."""
MORNING = time(9)
QUICKEST = 0.8
BEHIND = timedelta(hours=22)
"""She lost most of a day, so that something waits for the brush whenever the demo is opened."""


@transaction.atomic
def load_demo(*, now: datetime) -> Person:
    """Make the demo studio as it would stand at `now`; return its painter."""
    painter = _open(now)
    studio = painter.studio
    with hold_changes():
        clients = {
            name: keep_record(Client(studio=studio, name=name, email=email, address=address))
            for name, (email, address) in CLIENTS.items()
        }
        mixes = {name: _mix(studio, name, *recipe) for name, recipe in MIXES.items()}
        for name in DARKER:
            keep_sibling(mixes[name], way="darker")
        for plan in COMMISSIONS:
            _ask(studio, clients[plan.client], plan, mixes, now)
        _live(painter, now)
        _press(painter, now)
    _fix(painter, now)
    return painter


def _open(now: datetime) -> Person:
    studio = Studio(
        name="Marrow Lane Painted Furniture",
        address="2 Marrow Lane\nUpper Wend",
        email=EMAIL,
        phone="01632 960 114",
        currency="GBP",
        hourly_cost=3400,
        tax_name="VAT",
        tax_rate=20,
        rack=5,
    )
    painter = open_studio(studio, person_name="Juno Ashdown", email=EMAIL, password=PASSWORD)
    studio.refresh_from_db()
    first = now.date() + timedelta(days=29)
    keep_record(
        DayOff(studio=studio, first=first, last=first + timedelta(days=4), reason="Visiting family")
    )
    looked_at = next(
        day
        for day in (now.date() + timedelta(days=ahead) for ahead in range(2, 9))
        if day.weekday() in USUAL_DAYS
    )
    keep_record(
        DatedHours(
            studio=studio,
            kind=DatedHours.Kind.AWAY,
            day=looked_at,
            start=time(10),
            end=time(11, 30),
            note="Signe Ærtsgård looks at the doors",
        )
    )
    return painter


def _mix(studio: Studio, name: str, colour: str, notes: str, parts: dict[str, int]) -> Mix:
    return keep_mix(Mix(studio=studio, name=name, colour=colour, notes=notes), parts=parts)


def _ask(
    studio: Studio, client: Client, plan: CommissionPlan, mixes: dict[str, Mix], now: datetime
) -> None:
    commission = open_commission(
        Commission(
            studio=studio,
            client=client,
            title=plan.title,
            brief=plan.brief,
            wanted=(now + timedelta(days=plan.wanted)).date(),
        )
    )
    arrives = now.date() + timedelta(days=plan.arrives) if plan.arrives else None
    piece = keep_record(
        Piece(commission=commission, name=plan.piece, arrives=arrives, **plan.about)
    )
    surfaces: dict[str, Surface] = {}
    for face in plan.surfaces:
        surfaces[face.name] = surface = _surface(piece, face)
        for panel in face.panels:
            _panel(surface, panel, plan.first, mixes)
        for original in surfaces[face.mirrors].panels.all() if face.mirrors else ():
            mirror_panel(original, surface=surface, name=original.name.replace("Left", "Right"))


def _surface(piece: Piece, plan: SurfacePlan) -> Surface:
    return keep_surface(
        Surface(
            piece=piece,
            name=plan.name,
            face=plan.face,
            width=plan.width * MM,
            height=plan.height * MM,
            left=plan.place[0] * MM,
            top=plan.place[1] * MM,
            removable=plan.removable,
        )
    )


def _panel(surface: Surface, plan: PanelPlan, first: Iterable[str], mixes: dict[str, Mix]) -> Panel:
    middle = (surface.width - plan.width * MM) // 2, (surface.height - plan.height * MM) // 2
    left, top = (plan.place[0] * MM, plan.place[1] * MM) if plan.place else middle
    panel = keep_panel(
        Panel(
            surface=surface,
            name=plan.name,
            kind=plan.kind,
            width=plan.width * MM,
            height=plan.height * MM,
            left=left,
            top=top,
            motif=plan.motif,
            intricacy=plan.intricacy,
            ground_name=plan.ground[0],
            ground_colour=plan.ground[1],
        ),
        sheet=surface.owner.sheets.get(name=plan.sheet),
    )
    for usual in map(stage_kind, first):
        keep_step(
            Stage(
                panel=panel,
                kind=usual.key,
                binder=usual.binder,
                coats=usual.coats,
                gate=usual.gate,
            )
        )
    for stage in panel.stages.all():
        if stage.kind in STAGE_MIXES:
            stage.mix = mixes[STAGE_MIXES[stage.kind]]
            keep_record(stage)
        elif stage.binder == "pencil":
            stage.medium = "white-pencil" if plan.ground in DRAWN_IN_WHITE else "graphite"
            keep_step(stage)
    return panel


def _live(painter: Person, now: datetime) -> None:
    """Play the days in order: estimates sent, accepted, worked as planned, handed over."""
    studio, chance = painter.studio, Random(7)
    events = []
    for plan, commission in zip(COMMISSIONS, studio.commissions.order_by("number"), strict=True):
        events.append((plan.asked, "sent", commission))
        if plan.accepted is not None:
            events.append((plan.accepted, "accepted", commission))
        if plan.handed_over is not None:
            events.append((plan.handed_over, "handed over", commission))
    events.sort(key=lambda event: event[0])
    for (day, what, commission), following in zip(events, [*events[1:], None], strict=True):
        at = _morning(studio, now, day)
        commission.refresh_from_db()
        if what == "sent":
            draft = draft_estimate(commission, now=at)
            issue_estimate(draft, at=at, seen_total=draft.pricing.costing.total)
        elif what == "accepted":
            accept_estimate(commission.estimates.first(), at=at)
        else:
            hand_over(commission, at=at)
        until = _morning(studio, now, following[0]) if following else now - BEHIND
        _work(painter, since=at, until=until, chance=chance)


def _morning(studio: Studio, now: datetime, day: int) -> datetime:
    there = now.astimezone(studio.zone).date() + timedelta(days=day)
    return datetime.combine(there, MORNING, tzinfo=studio.zone).astimezone(UTC)


def _work(painter: Person, *, since: datetime, until: datetime, chance: Random) -> None:
    """Follow the plan made at `since`, a little quicker than planned, until `until`."""
    asked = build_problem(painter.studio, now=since)
    plan = make_plan(asked.problem)
    last_part = {sitting.task: sitting for sitting in plan.sittings}
    # Near enough for when she holds a finger to a coat, and read once.
    workshop = workshop_of(painter.studio)
    for sitting in plan.sittings:
        if sitting.end >= until:
            break
        stage, _ = asked.stage_and_coat(sitting.task)
        panel = Panel.objects.of(painter.studio).for_bench().get(pk=stage.panel_id)
        stage = next(one for one in panel.stages.all() if one.pk == stage.pk)
        _touch(panel, painter, sitting.start, workshop)
        took = (sitting.end - sitting.start) * chance.uniform(QUICKEST, 1)
        begun = start_sitting(stage, person=painter, at=sitting.start)
        finishes = last_part[sitting.task] == sitting
        stop_sitting(begun, at=sitting.start + took, finishes_coat=finishes)


def _press(painter: Person, now: datetime) -> None:
    """Find two coats still tacky that were reckoned dry, as happens in a damp week."""
    panels = Panel.objects.of(painter.studio).for_bench()
    panels = panels.filter(surface__piece__commission__state__in=Commission.IN_HAND)
    workshop = workshop_of(painter.studio)
    gates = [current_gate(panel, workshop) for panel in panels]
    gates = [gate for gate in gates if gate and gate.open_at(now)]
    felt = [gate for gate in gates if gate.kind == "touch-dry" and gate.test is None]
    for gate in sorted(felt, key=lambda gate: gate.since)[-2:]:
        at = max(gate.since, now - timedelta(minutes=25))
        record_touch_test(gate.stage, coat=gate.coat, result="tacky", by=painter, at=at)


def _fix(painter: Person, now: datetime) -> None:
    """Fix a sitting some days ahead, as she does when a client wants to watch."""
    coming = planned_sittings(painter.studio).filter(start__gt=now + timedelta(days=3))
    if row := coming.first():
        fix_sitting(row, seen=row.sequence, now=now)


def _touch(panel: Panel, painter: Person, at: datetime, workshop: Workshop) -> None:
    """Hold a finger to the coat before painting on, as she does where tack can be felt."""
    gate = current_gate(panel, workshop)
    if gate and gate.kind == "touch-dry" and gate.test is None:
        record_touch_test(
            gate.stage, coat=gate.coat, result="touch-dry", by=painter, at=at - timedelta(minutes=5)
        )
