"""Method sheets, and the stages each panel gets as its own copy."""

from datetime import UTC, datetime

import pytest
from django.urls import reverse

from jobs.domain.methods import add_shipped_sheets, give_method, keep_step, move_step
from jobs.forms import MethodChoiceForm, PanelForm
from jobs.labour.methods import method_sheets
from jobs.labour.stages import stage_kinds
from jobs.models import MethodSheet, Mix, Panel, SheetStage, Stage
from studio.domain.records import keep_record, remove_record
from studio.refusal import Refused
from tests.cast import job, painted, panel_of

MONDAY = datetime(2026, 11, 2, 9, tzinfo=UTC)
STEP = {
    "kind": "prime",
    "name": "",
    "binder": "gesso",
    "coats": "2",
    "gate": "recoat",
    "minutes": "",
}


@pytest.fixture
def panel(anna) -> Panel:
    return job(anna.studio)


@pytest.fixture
def sheet(anna) -> MethodSheet:
    sheet = keep_record(MethodSheet(studio=anna.studio, name="Our way"))
    for kind, binder in (("prime", "gesso"), ("ground-colour", "acrylic"), ("glaze", "glaze")):
        keep_step(SheetStage(sheet=sheet, kind=kind, binder=binder, gate="recoat"))
    return sheet


def kinds(thing: Panel | MethodSheet) -> list[str]:
    return list(thing.stages.values_list("kind", flat=True))


def test_a_studio_starts_with_every_shipped_sheet_stage_for_stage(anna):
    for method in method_sheets().values():
        sheet = anna.studio.sheets.get(name=method.name)
        rows = sheet.stages.values_list("kind", "binder", "coats", "gate")
        assert list(rows) == [(s.kind.key, s.binder, s.coats, s.gate) for s in method.stages]


def test_a_strangers_sheet_and_mix_are_refused_as_if_they_did_not_exist(at_desk, record, stranger):
    theirs = {
        "sheet": keep_record(MethodSheet(studio=stranger.studio, name="Not yours")),
        "mix": keep_record(Mix(studio=stranger.studio, name="Not yours", colour="#c9a24b")),
    }
    keep_step(SheetStage(sheet=theirs["sheet"], kind="prime", binder="gesso", gate="recoat"))
    bare = panel_of(record.surface, "Bare", left=3000, steps=())
    refused = {}
    for whose in ("theirs", "nobody's"):
        sheet, mix = (theirs[name].pk + (whose != "theirs") * 10**6 for name in ("sheet", "mix"))
        at_desk.post(reverse("panel-method", args=[bare.pk]), {"sheet": sheet})
        stage = {"kind": "prime", "binder": "gesso", "gate": "recoat", "coats": 1, "mix": mix}
        answer = at_desk.post(reverse("stage-new", args=[bare.pk]), stage)
        assert answer.status_code == 422
        chosen = MethodChoiceForm(record.studio, data={"sheet": sheet})
        new = PanelForm(record.studio, instance=Panel(surface=bare.surface), data={"sheet": sheet})
        refused[whose] = (answer.context["form"].errors, chosen.errors, new.errors["sheet"])
        assert "Not yours" not in answer.content.decode()
    assert refused["theirs"] == refused["nobody's"]
    assert list(refused["theirs"][0]) == ["mix"]
    assert not bare.stages.exists()
    assert not record.panel.stages.filter(mix=theirs["mix"]).exists()


def test_restoring_brings_back_what_was_removed_and_nothing_twice(at_desk, anna):
    before = anna.studio.sheets.count()
    anna.studio.sheets.first().delete()
    at_desk.post(reverse("sheets-restore"))
    assert anna.studio.sheets.count() == before
    assert add_shipped_sheets(anna.studio) == []


def test_a_panel_gets_its_own_copy_of_the_sheet(panel, sheet):
    give_method(panel, sheet=sheet)
    assert kinds(panel) == kinds(sheet)
    step = sheet.stages.first()
    step.coats, step.name = 9, "Otherwise"
    keep_step(step)
    remove_record(sheet.stages.last())
    assert kinds(panel) == ["prime", "ground-colour", "glaze"]
    assert panel.stages.first().coats == 1
    remove_record(sheet)
    assert kinds(panel) == ["prime", "ground-colour", "glaze"]


def test_changing_the_panels_stage_leaves_the_sheet_as_it_is(panel, sheet):
    give_method(panel, sheet=sheet)
    stage = panel.stages.first()
    stage.coats = 5
    keep_step(stage)
    assert sheet.stages.first().coats == 1


def test_a_new_panel_takes_its_stages_from_the_sheet_chosen(at_desk, panel, sheet):
    data = {
        "name": "Finch", "kind": "oval", "width": "20", "height": "30", "intricacy": "4",
        "ground": "undecided", "sheet": sheet.pk,
    }  # fmt: skip
    at_desk.post(reverse("panel-new", args=[panel.surface_id]), data)
    assert kinds(Panel.objects.get(name="Finch")) == kinds(sheet)


def test_a_sheet_without_stages_is_refused_and_no_panel_is_left_behind(at_desk, panel, anna):
    empty = keep_record(MethodSheet(studio=anna.studio, name="Empty"))
    with pytest.raises(Refused, match="no stages yet"):
        give_method(panel, sheet=empty)
    data = {
        "name": "Finch", "kind": "oval", "width": "20", "height": "30", "intricacy": "4",
        "ground": "undecided", "sheet": empty.pk,
    }  # fmt: skip
    response = at_desk.post(reverse("panel-new", args=[panel.surface_id]), data)
    assert list(response.context["form"].errors) == ["sheet"]
    assert not Panel.objects.filter(name="Finch").exists()
    assert len(kinds(panel)) == 3


def test_a_method_with_work_logged_is_not_replaced(at_desk, panel, sheet, anna):
    painted(panel.stages.first(), by=anna, end=MONDAY)
    before = kinds(panel)
    at_desk.post(reverse("panel-method", args=[panel.pk]), {"sheet": sheet.pk})
    assert kinds(panel) == before


@pytest.mark.parametrize("chosen", ["", "999999", "x"])
def test_choosing_no_sheet_changes_nothing(chosen, at_desk, panel):
    before = kinds(panel)
    response = at_desk.post(reverse("panel-method", args=[panel.pk]), {"sheet": chosen})
    assert response.url == reverse("panel", args=[panel.pk])
    assert kinds(panel) == before


def test_a_new_stage_that_usually_comes_last_does_and_is_named_after_its_work(at_desk, panel):
    data = {**STEP, "kind": "glaze", "binder": "glaze"}
    assert at_desk.post(reverse("stage-new", args=[panel.pk]), data).status_code == 302
    stage = panel.stages.last()
    assert (stage.kind, stage.name) == ("glaze", stage.sort.name)


@pytest.mark.parametrize("on", ["panel", "sheet"])
def test_a_new_stage_stands_where_its_kind_of_work_usually_does(on, at_desk, panel, sheet):
    owner = panel if on == "panel" else sheet
    first, second, third = kinds(owner)
    path = reverse("stage-new" if on == "panel" else "step-new", args=[owner.pk])
    for kind in ("draw", "seal"):
        at_desk.post(path, {"kind": kind})
    assert kinds(owner) == ["seal", first, second, "draw", third]
    assert list(owner.stages.values_list("position", flat=True)) == [0, 1, 2, 3, 4]


def test_a_second_coat_of_the_same_kind_stands_after_the_first(panel):
    keep_step(Stage(panel=panel, kind="prime", name="Prime again", binder="gesso"))
    assert list(panel.stages.values_list("name", flat=True))[:2] == ["Prime", "Prime again"]


def test_a_new_stage_never_slips_in_before_what_is_painted(panel, anna):
    painted(panel.stages.first(), by=anna, end=MONDAY)
    keep_step(Stage(panel=panel, kind="seal", binder="shellac"))
    assert kinds(panel) == ["prime", "seal", "ground-colour", "first-oil"]


def test_sealed_knots_get_shellac_because_that_is_usual(at_desk, panel):
    form = at_desk.get(reverse("stage-new", args=[panel.pk])).context["form"]
    for name in ("binder", "gate"):
        assert form.fields[name].choices[0] == ("", "as usual for this work")
        assert not form[name].value()
    assert form["coats"].value() is None
    data = {"kind": "seal", "name": "", "binder": "", "coats": "", "gate": "", "minutes": ""}
    assert at_desk.post(reverse("stage-new", args=[panel.pk]), data).status_code == 302
    stage = panel.stages.get(kind="seal")
    assert (stage.name, stage.binder) == ("Seal knots and stains", "shellac")
    assert (stage.gate, stage.coats) == (stage.sort.gate, stage.sort.coats)


@pytest.mark.parametrize("kind", stage_kinds())
def test_every_kind_of_work_can_be_added_as_is_usual(kind, at_desk, sheet):
    sheet.stages.all().delete()
    assert at_desk.post(reverse("step-new", args=[sheet.pk]), {"kind": kind}).status_code == 302
    step, usual = sheet.stages.get(), stage_kinds()[kind]
    assert (step.binder, step.coats, step.gate) == (usual.binder, usual.coats, usual.gate)


def test_what_she_chooses_goes_before_what_is_usual(at_desk, panel):
    data = {"kind": "prime", "name": "Prime again", "binder": "oil", "coats": "1", "gate": ""}
    at_desk.post(reverse("stage-new", args=[panel.pk]), data)
    stage = panel.stages.get(name="Prime again")
    assert (stage.binder, stage.coats, stage.gate) == ("oil", 1, stage.sort.gate)


def test_where_nothing_is_painted_on_nothing_is_waited_for(at_desk, panel):
    data = {"kind": "prime", "name": "Rub down", "binder": "none", "coats": "1", "gate": ""}
    assert at_desk.post(reverse("stage-new", args=[panel.pk]), data).status_code == 302
    assert panel.stages.get(name="Rub down").gate == "none"


def test_a_stage_that_is_there_must_say_what_it_is_painted_with(at_desk, panel):
    stage = panel.stages.first()
    path = reverse("stage-edit", args=[stage.pk])
    data = {**STEP, "binder": "", "seen_version": stage.version}
    response = at_desk.post(path, data)
    assert response.context["form"].errors == {"binder": ["This cannot stay empty."]}


@pytest.mark.parametrize(
    ("changed", "field"),
    [
        ({"coats": "0"}, "coats"),
        ({"coats": "-1"}, "coats"),
        ({"coats": "13"}, "coats"),
        ({"coats": "1000000000"}, "coats"),
        ({"coats": "two"}, "coats"),
        ({"minutes": "0"}, "minutes"),
        ({"minutes": "6001"}, "minutes"),
        ({"minutes": "1000000000"}, "minutes"),
        ({"binder": "milk"}, "binder"),
        ({"kind": "dance"}, "kind"),
        ({"gate": "some day"}, "gate"),
        ({"kind": "sand", "binder": "none", "gate": "recoat"}, "gate"),
    ],
)
@pytest.mark.parametrize("on", ["panel", "sheet"])
def test_a_stage_that_cannot_be_is_refused_beside_its_field(
    on, changed, field, at_desk, panel, sheet
):
    owner = panel if on == "panel" else sheet
    path = reverse("stage-new" if on == "panel" else "step-new", args=[owner.pk])
    before = kinds(owner)
    response = at_desk.post(path, {**STEP, **changed})
    assert response.status_code == 422
    assert list(response.context["form"].errors) == [field]
    assert kinds(owner) == before


def test_a_stage_keeps_the_coats_that_are_on_it(at_desk, panel, anna):
    stage = panel.stages.first()
    painted(stage, by=anna, end=MONDAY)
    painted(stage, by=anna, end=MONDAY.replace(day=6))
    path = reverse("stage-edit", args=[stage.pk])
    response = at_desk.post(path, {**STEP, "coats": "1", "seen_version": stage.version})
    assert list(response.context["form"].errors) == ["coats"]
    stage.refresh_from_db()
    assert stage.coats == 2


@pytest.mark.parametrize("on", ["panel", "sheet"])
def test_a_stage_moves_one_place_and_stops_at_the_ends(on, at_desk, panel, sheet):
    owner, name = (panel, "stage-move") if on == "panel" else (sheet, "step-move")
    first, second, third = kinds(owner)
    last = owner.stages.last()
    for way, order in [
        ("down", [first, second, third]),
        ("up", [first, third, second]),
        ("up", [third, first, second]),
        ("up", [third, first, second]),
        ("down", [first, third, second]),
    ]:
        assert at_desk.post(reverse(name, args=[last.pk, way])).status_code == 302
        assert kinds(owner) == order
    assert at_desk.post(reverse(name, args=[last.pk, "sideways"])).status_code == 404


def test_what_is_painted_does_not_change_places(panel, anna):
    first, second, third = panel.stages.all()
    painted(first, by=anna, end=MONDAY)
    with pytest.raises(Refused, match="cannot change places"):
        move_step(second, up=True)
    move_step(third, up=True)
    assert kinds(panel) == [first.kind, third.kind, second.kind]


def test_stages_removed_in_the_middle_leave_the_others_in_order(panel):
    remove_record(panel.stages.all()[1])
    keep_step(Stage(panel=panel, kind="glaze", binder="glaze"))
    assert kinds(panel) == ["prime", "first-oil", "glaze"]
    move_step(panel.stages.last(), up=True)
    assert kinds(panel) == ["prime", "glaze", "first-oil"]
