"""Which cautions belong to which stage of the work, and to whom they are told."""

import pytest

from jobs.domain.cautions import client_cautions, panel_cautions, stage_cautions
from jobs.domain.methods import keep_step
from jobs.models import Mix, MixPart, Panel, Piece, Stage
from studio.domain.records import keep_record
from tests.cast import asked, panel_of, piece_of, surface_of
from tests.jobs.laid import change, fresh

STEPS = (
    ("clean", "wash", 1, "recoat"),
    ("sand", "none", 1, "none"),
    ("ground-colour", "acrylic", 1, "recoat"),
    ("details", "oil", 1, "touch-dry"),
)


@pytest.fixture
def panel(anna) -> Panel:
    return panel_of(surface_of(piece_of(asked(anna.studio))), steps=STEPS)


def called(panel: Panel, kind: str) -> list[str]:
    return [one.key for one in stage_cautions(Stage.objects.get(panel=panel, kind=kind))]


def about(panel: Panel, **facts) -> None:
    Piece.objects.filter(pk=panel.surface.piece_id).update(**facts)


def test_old_paint_is_minded_where_it_is_opened_and_not_where_it_is_covered(panel):
    about(panel, finish="painted", made_in=1890)
    assert called(panel, "clean") == ["lead-paint"]
    assert called(panel, "sand") == ["lead-paint", "sanding-dust"]
    assert called(panel, "ground-colour") == []


def test_old_wax_calls_for_care_with_solvents_only_where_it_is_taken_off(panel):
    about(panel, finish="waxed", made_in=2010)
    keep_step(Stage(panel=panel, kind="dewax", binder="spirit", gate="recoat"))
    assert called(panel, "dewax") == ["solvents", "oily-rags"]
    assert called(panel, "clean") == ["solvents"]
    assert called(panel, "ground-colour") == []
    assert called(panel, "details") == ["solvents", "oily-rags"]


@pytest.mark.parametrize("finish", ["waxed", "oiled", "shellacked", "varnished"])
def test_what_was_painted_once_may_lie_stripped_under_wax_or_oil(panel, finish):
    # Lead in household paint until 1978 in some countries: 16 CFR 1303.
    about(panel, finish=finish, made_in=1960)
    (lead,) = [one for one in panel_cautions(fresh(panel)) if one.key == "lead-paint"]
    assert "may have been painted before" in lead.text
    about(panel, made_in=None)
    assert "lead-paint" in called(panel, "sand")
    about(panel, made_in=2015)
    assert "lead-paint" not in called(panel, "sand")


@pytest.mark.parametrize(
    ("medium", "cautions"),
    [
        ("drier", ["solvents", "oily-rags", "cobalt"]),
        ("solvent", ["solvents", "oily-rags"]),
    ],
)
def test_what_is_worked_into_the_paint_is_minded_too(panel, medium, cautions):
    about(panel, finish="bare")
    change(panel, "details", medium=medium)
    assert called(panel, "details") == cautions
    assert "cobalt" not in called(panel, "ground-colour")


def test_a_childs_piece_is_minded_where_paint_is_laid(panel):
    about(panel, finish="bare", use="child")
    assert called(panel, "sand") == ["sanding-dust"]
    assert called(panel, "ground-colour") == ["child-furniture"]


def test_a_poisonous_colour_is_minded_at_its_stage_and_told_to_who_has_a_child(panel):
    about(panel, finish="bare")
    mix = keep_record(Mix(studio=panel.owner, name="Poppy"))
    MixPart.objects.create(mix=mix, pigment="PR108")
    panel.stages.filter(kind="ground-colour").update(mix=mix)
    assert called(panel, "ground-colour") == ["cadmium"]
    assert "cadmium" in [one.key for one in panel_cautions(Panel.objects.get())]
    piece = panel.surface.piece
    assert client_cautions(Piece.objects.get(pk=piece.pk)) == ()
    about(panel, use="child")
    told = [one.key for one in client_cautions(Piece.objects.get(pk=piece.pk))]
    assert told == ["cadmium", "child-furniture"]
