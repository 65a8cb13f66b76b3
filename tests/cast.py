"""The people and the furniture that tests tell of.

What people do is done by the same verbs as the pages use. The furniture they do it on is written
straight into the record: how it is typed in has tests of its own.
"""

from collections.abc import Sequence
from datetime import UTC, datetime, timedelta
from types import SimpleNamespace

from django.core.files.base import ContentFile

from jobs.domain.methods import keep_step
from jobs.domain.own_values import keep_own_row
from jobs.domain.work import record_touch_test, start_sitting, stop_sitting
from jobs.labour.stages import stage_kind
from jobs.models import (
    Client,
    Commission,
    MethodSheet,
    Mix,
    MixPart,
    Panel,
    Photo,
    Piece,
    SheetStage,
    Stage,
    Surface,
)
from quotes.models import Estimate, ExtraLine
from schedule.models import Pin, Programme
from studio.domain.opening import open_studio
from studio.domain.records import keep_record
from studio.models import DatedHours, DayOff, Person, Studio
from studio.signals import announce_change, hold_changes

AGREED = datetime(2026, 10, 1, 9, tzinfo=UTC)
"""When the work of the tests was agreed: fixed, so that their fixed days come after it."""
PASSWORD = "linen umber verdigris"
STEPS = (
    ("prime", "gesso", 2, "recoat"),
    ("ground-colour", "acrylic", 1, "through-dry"),
    ("first-oil", "oil", 1, "touch-dry"),
)
"""A short method: (kind, binder, coats, gate) of each stage."""


def studio_of(name: str, *, person: str, email: str, **settings) -> Person:
    """Open a studio and return its first person."""
    return open_studio(
        Studio(name=name, **settings), person_name=person, email=email, password=PASSWORD
    )


def asked(studio: Studio, title: str = "A painted chest", *, agreed: bool = False) -> Commission:
    """Return a new commission with its client; `agreed` has it accepted."""
    client = Client.objects.create(studio=studio, name=f"Client of {title}")
    accepted = {"state": Commission.State.ACCEPTED, "accepted_at": AGREED} if agreed else {}
    number = Commission.objects.of(studio).count() + 1
    return Commission.objects.create(
        studio=studio, client=client, title=title, number=number, **accepted
    )


def piece_of(commission: Commission, name: str = "Chest") -> Piece:
    return Piece.objects.create(commission=commission, name=name)


def surface_of(
    piece: Piece, name: str = "Lid", *, width: int = 9000, height: int = 5000
) -> Surface:
    return Surface.objects.create(piece=piece, name=name, width=width, height=height)


def unplanned_panel(
    surface: Surface, name: str = "Plait", *, left: int = 0, steps: Sequence[tuple] = STEPS, **more
) -> Panel:
    """Return a panel of 20 x 20 cm with its stages, of which the programme knows nothing yet."""
    given = {"width": 2000, "height": 2000, "ground_name": "old linen", "ground_colour": "#d9cdb9"}
    panel = Panel.objects.create(surface=surface, name=name, left=left, **{**given, **more})
    stages = [
        Stage(
            panel=panel,
            kind=kind,
            name=stage_kind(kind).name,
            binder=binder,
            coats=coats,
            gate=gate,
        )
        for kind, binder, coats, gate in steps
    ]
    stages.sort(key=lambda stage: stage.sort.order)
    for position, stage in enumerate(stages):
        stage.position = position
    Stage.objects.bulk_create(stages)
    return panel


def panel_of(surface: Surface, name: str = "Plait", **more) -> Panel:
    """Return an unplanned_panel, planned where the work is agreed."""
    panel = unplanned_panel(surface, name, **more)
    if panel.commission.in_hand:
        announce_change(panel.owner)
    return panel


def job(studio: Studio, *, agreed: bool = True, **panel) -> Panel:
    """Return a panel of a commission of its own, for tests that look at no first programme."""
    surface = surface_of(piece_of(asked(studio, agreed=agreed)))
    seen = Programme.objects.of(studio).exists()
    return panel_of(surface, **panel) if seen else unplanned_panel(surface, **panel)


def agreed_panel(studio: Studio, name: str = "Plait", **more) -> Panel:
    """Return a panel of an accepted commission of its own, planned once."""
    return panel_of(surface_of(piece_of(asked(studio, agreed=True))), name, **more)


def painted(stage: Stage, *, by: Person, end: datetime, minutes: int = 30):
    """Return a sitting that finished a coat of a stage at `end`."""
    with hold_changes():
        sitting = start_sitting(stage, person=by, at=end - timedelta(minutes=minutes))
        return stop_sitting(sitting, at=end, finishes_coat=True)


def everything(person: Person, *, now: datetime) -> SimpleNamespace:
    """Return one of each record of a studio, by its name; a coat of gesso dries right now."""
    studio = person.studio
    with hold_changes():
        commission = asked(studio, agreed=True)
        piece = piece_of(commission)
        surface = surface_of(piece)
        panel = panel_of(surface)
        stage = panel.stages.first()
        sitting = painted(stage, by=person, end=now - timedelta(minutes=10))
        touch_test = record_touch_test(
            stage, coat=1, result="tacky", by=person, at=now - timedelta(minutes=5)
        )
        image = ContentFile(b"a picture", name="photo.jpg")
        photo = keep_record(Photo(panel=panel, image=image, taken_at=now))
        sheet = keep_record(MethodSheet(studio=studio, name="Our way"))
        step = keep_step(SheetStage(sheet=sheet, kind="prime", binder="gesso", gate="recoat"))
        swatch = ContentFile(b"a picture", name="photo.jpg")
        mix = Mix(studio=studio, name="Old gold", colour="#c9a24b", swatch_photo=swatch)
        keep_record(mix)
        MixPart.objects.create(mix=mix, pigment="PY42", parts=3)
        estimate = Estimate.objects.create(
            commission=commission, issue=1, issued_at=now, valid_until=now.date(),
            currency=studio.currency, net=1000, tax=0, total=1000, deposit=400,
            pdf=b"%PDF-", digest="",
        )  # fmt: skip
        extra = keep_record(ExtraLine(commission=commission, text="Delivery", amount=4500))
        keep_own_row(studio, table="binders", row="gesso", values={"recoat": "3"})
        day_off = keep_record(DayOff(studio=studio, first="2031-05-01", last="2031-05-02"))
    start = (now + timedelta(days=3)).replace(minute=0, second=0, microsecond=0)
    dated_hours = DatedHours.objects.create(
        studio=studio, day=start.date(), start="12:00", end="13:00", note="A visit"
    )
    pin = Pin.objects.create(
        studio=studio, stage=panel.stages.last(), coat=1, person=person, start=start,
        end=start + timedelta(hours=1),
    )  # fmt: skip
    return SimpleNamespace(
        studio=studio, person=person, client=commission.client, commission=commission,
        piece=piece, surface=surface, panel=panel, stage=stage, sitting=sitting,
        touch_test=touch_test, photo=photo, sheet=sheet, step=step, mix=mix, day_off=day_off,
        dated_hours=dated_hours, pin=pin,
        estimate=estimate, extra=extra, window=studio.windows.first(),
        supply=studio.supplies.first(),
    )  # fmt: skip
