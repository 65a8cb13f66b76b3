"""What the pictures of a panel show follows from its kinds of work, as the table has them."""

import pytest
from django.urls import reverse

from jobs.labour.stages import stage_kind, stage_kinds
from jobs.layout.drawing import Path
from jobs.layout.section import OWN_COLOURS
from jobs.models import Panel, Piece
from jobs.pictures import section_of
from tests.cast import job, painted

LAID_OUT = [key for key, kind in stage_kinds().items() if kind.lays_out]


def panel_with(anna, kind: str, **more) -> Panel:
    usual = stage_kind(kind)
    panel = job(anna.studio, steps=((kind, usual.binder, 1, usual.gate),), **more)
    return Panel.objects.for_bench().get(pk=panel.pk)


@pytest.mark.parametrize(
    ("kind", "role"),
    [
        ("prime", "gesso"),
        ("seal", "varnish"),
        ("ground-colour", "ground"),
        ("letter", "paint"),
        ("first-oil", "paint"),
        ("glaze", "glaze"),
        ("varnish", "varnish"),
    ],
)
def test_a_coat_lies_in_the_cross_section_as_its_kind_of_work_does(kind, role, anna):
    panel = panel_with(anna, kind, ground_colour="")
    painted(panel.stages.get(), by=anna, end=panel.commission.accepted_at)
    drawing = section_of(Panel.objects.for_bench().get(pk=panel.pk), drying=False)
    coats = [mark for mark in drawing.marks if isinstance(mark, Path) and mark.role == "coat-done"]
    assert [coat.fill for coat in coats] == [OWN_COLOURS[role]]


def test_the_lay_out_is_drawn_for_the_work_that_lays_out_and_for_no_other(at_desk, anna):
    assert LAID_OUT == ["grid"]
    for kind in ("draw", "prime", *LAID_OUT):
        page = at_desk.get(reverse("panel", args=[panel_with(anna, kind).pk]))
        assert ("construction" in page.context) == (kind in LAID_OUT)


@pytest.mark.parametrize(
    ("material", "finish", "words"),
    [
        ("softwood", "bare", "bare wood"),
        ("hardwood", "waxed", "waxed wood"),
        ("softwood", "painted", "old paint"),
        ("metal", "bare", "bare metal"),
        ("unknown", "unknown", "surface as it came in"),
    ],
)
def test_the_cross_section_stands_on_what_the_piece_came_in_with(
    material, finish, words, anna, at_desk
):
    panel = panel_with(anna, "prime")
    Piece.objects.update(material=material, finish=finish)
    page = at_desk.get(reverse("panel", args=[panel.pk]))
    assert page.context["section"].title.startswith(f"{words}, ")
    assert words in [label.text for label in page.context["section"].labels]
