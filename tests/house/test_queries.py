"""A page asks the database as often for three rows as for one."""

from datetime import timedelta

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext
from django.urls import reverse
from django.utils import timezone

from jobs.domain.own_values import keep_own_row
from jobs.domain.work import record_touch_test
from jobs.models import Client, MethodSheet, Mix, MixPart, SheetStage, Stage, Supply
from jobs.paint.pigments import pigments
from quotes.domain.extras import keep_extra
from quotes.models import ExtraLine
from studio.domain.records import keep_record
from tests.cast import asked, painted, panel_of, piece_of, surface_of


def add_client(desk):
    keep_record(Client(studio=desk.studio, name="Someone"))


def add_commission(desk):
    asked(desk.studio)


def add_piece(desk):
    panel_of(surface_of(piece_of(desk.commission)))


def add_panel(desk):
    count = desk.surface.panels.count()
    panel = panel_of(desk.surface, f"Panel {count}", left=2000 * count)
    Stage.objects.filter(panel=panel).update(mix=desk.mix)


def add_sitting(desk):
    """Paint one more coat of the panel, each on its own stage, with a touch test to it."""
    stage = desk.panel.stages.filter(sittings=None).first()
    end = timezone.now() - timedelta(days=60) + timedelta(days=20 * stage.position)
    for coat in range(stage.coats):
        end += timedelta(days=2)
        painted(stage, by=desk.person, end=end)
        record_touch_test(
            stage, coat=coat + 1, result="touch-dry", by=desk.person, at=end + timedelta(days=1)
        )


def add_sheet(desk):
    sheet = keep_record(MethodSheet(studio=desk.studio, name="Another way"))
    SheetStage.objects.create(sheet=sheet, kind="prime", name="Prime", binder="gesso")


def add_mix(desk):
    mix = keep_record(Mix(studio=desk.studio, name="Green", colour="#1f6f6a"))
    MixPart.objects.create(mix=mix, pigment="PG18", parts=2)
    stage = desk.panel.stages.filter(mix=None).first()
    Stage.objects.filter(pk=stage.pk).update(mix=mix)


def add_supply(desk):
    keep_record(
        Supply(
            studio=desk.studio, name="Wax", binder=f"wax {desk.studio.supplies.count()}",
            spread_rate=10, pack_ml=500, pack_price=900, currency=desk.studio.currency,
        )
    )  # fmt: skip


def add_own_value(desk):
    row = list(pigments())[desk.studio.own_values.count()]
    keep_own_row(desk.studio, table="pigments", row=row, values={"drying": "fast"})


def add_line(desk):
    keep_extra(ExtraLine(commission=desk.commission, text="Delivery", amount=100))


PAGES = {
    "clients": ("clients", "", add_client),
    "commissions": ("commissions", "", add_commission),
    "a commission and its pieces": ("commission", "commission", add_piece),
    "a piece and its panels": ("piece", "piece", add_panel),
    "a panel and its log": ("panel", "panel", add_sitting),
    "a late ground and the mixes": ("panel-late", "panel", add_mix),
    "a late ground and other panels": ("panel-late", "panel", add_panel),
    "an estimate and its lines": ("estimate", "commission", add_line),
    "an estimate and its panels": ("estimate", "commission", add_panel),
    "a bench sheet and its panels": ("bench-sheet", "commission", add_panel),
    "a bench sheet and its pieces": ("bench-sheet", "commission", add_piece),
    "a care sheet and its panels": ("care-sheet", "commission", add_panel),
    "a care sheet and its pieces": ("care-sheet", "commission", add_piece),
    "the programme": ("programme", "", add_panel),
    "the bench": ("bench", "", add_panel),
    "method sheets": ("sheets", "", add_sheet),
    "mixes": ("mixes", "", add_mix),
    "a mix and its stages": ("mix", "mix", add_panel),
    "the days of a mix": ("mix-days", "mix", add_panel),
    "materials": ("supplies", "", add_supply),
    "the paint tables": ("paint", "", add_own_value),
    "a paint table": ("paint-table", "pigments", add_own_value),
    "a paint table and materials": ("paint-table", "binders", add_supply),
}
"""Each page: its name, the record of the desk it is about, and what adds one row to it."""


@pytest.fixture
def desk(anna):
    """Anna's studio with one commission, piece, surface, panel and mix."""

    class Desk:
        person, studio = anna, anna.studio
        commission = asked(anna.studio, agreed=True)
        client = commission.client
        piece = piece_of(commission)
        surface = surface_of(piece)
        mix = keep_record(Mix(studio=anna.studio, name="Gold", colour="#c9a24b"))
        panel = panel_of(surface)

    MixPart.objects.create(mix=Desk.mix, pigment="PY42", parts=3)
    Desk.panel.stages.filter(kind="first-oil").update(mix=Desk.mix)
    return Desk


def key_of(desk, of: str) -> list:
    """Return the keys of an address: of a record of the desk, a table, or none."""
    record = getattr(desk, of, None)
    if record is None:
        return [of] if of else []
    return [record.number if of == "commission" else record.pk]


def queries(client, path: str) -> int:
    with CaptureQueriesContext(connection) as seen:
        assert client.get(path).status_code == 200
    return len(seen)


@pytest.mark.parametrize("page", PAGES)
def test_as_many_queries_for_three_rows_as_for_one(page, at_desk, desk):
    name, of, add = PAGES[page]
    path = reverse(name, args=key_of(desk, of))
    if add is add_sitting:
        # The first coat painted and touched, and the first mix, bring their own fetches.
        desk.panel.stages.update(mix=desk.mix)
        add(desk)
    one = queries(at_desk, path)
    add(desk)
    add(desk)
    assert queries(at_desk, path) == one
