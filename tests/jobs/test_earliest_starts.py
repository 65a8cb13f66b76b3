"""What a piece, a panel, a paint and a person say of when and by whom work may be done."""

import pytest
from django.urls import reverse

from jobs.domain.places import mirror_panel
from jobs.labour.stages import stage_kinds
from jobs.paint.layers import Layer, open_share
from tests.cast import job


@pytest.fixture(autouse=True)
def at_nine(clock):
    """Every test begins on Monday, 2 November 2026, at 09:00 in the studio."""


@pytest.fixture
def panel(anna):
    return job(anna.studio)


def as_shown(page) -> dict:
    """Return the data of a form as its page shows it."""
    form = page.context["form"]
    values = {name: form[name].value() for name in form.fields}
    return {name: value for name, value in values.items() if value not in (None, False)}


def changed(client, name: str, pk: int, **typed):
    address = reverse(name, args=[pk])
    return client.post(address, {**as_shown(client.get(address)), **typed})


def test_a_piece_that_arrives_later_and_is_turned_says_so(at_desk, panel):
    piece = panel.surface.piece
    answer = changed(at_desk, "piece-edit", piece.pk, arrives="2026-11-20", turned="on")
    assert answer.status_code == 302
    piece.refresh_from_db()
    assert (str(piece.arrives), piece.turned) == ("2026-11-20", True)
    page = at_desk.get(reverse("piece", args=[piece.pk])).content.decode()
    assert "20 November 2026" in page
    assert "turned over" in page


@pytest.mark.parametrize(
    ("typed", "words"), [("2926-11-20", "Check the year"), ("soon", "Type a day")]
)
def test_a_day_that_cannot_be_is_refused_beside_its_field(typed, words, at_desk, anna, panel):
    supply = anna.studio.supplies.first()
    for name, pk, field in (
        ("piece-edit", panel.surface.piece.pk, "arrives"),
        ("panel-edit", panel.pk, "colour_agreed_by"),
        ("supply-edit", supply.pk, "comes"),
    ):
        page = changed(at_desk, name, pk, **{field: typed})
        assert page.status_code == 422, name
        assert words in str(page.context["form"].errors[field])
        assert typed in page.content.decode()


def test_a_panel_says_by_when_its_colour_will_be_agreed(at_desk, panel):
    assert (
        changed(at_desk, "panel-edit", panel.pk, colour_agreed_by="2026-11-16").status_code == 302
    )
    page = at_desk.get(reverse("panel", args=[panel.pk])).content.decode()
    assert "colour agreed by" in page
    panel.refresh_from_db()
    twin = mirror_panel(panel, surface=panel.surface, name="Its twin")
    assert twin.colour_agreed_by == panel.colour_agreed_by


def test_a_paint_on_order_says_so_until_it_is_there(at_desk, anna, clock):
    supply = anna.studio.supplies.first()
    assert changed(at_desk, "supply-edit", supply.pk, comes="2026-11-09").status_code == 302
    assert "on order, comes" in at_desk.get(reverse("supplies")).content.decode()
    clock.now = clock.now.replace(day=9)
    assert "on order, comes" not in at_desk.get(reverse("supplies")).content.decode()


def test_the_kinds_of_work_of_someone_are_ticked(at_desk, berit):
    address = reverse("person-kinds", args=[berit.pk])
    form = at_desk.get(address).context["form"]
    assert form.initial["kinds"] == list(stage_kinds()), "everything, to begin with"
    assert at_desk.post(address, {"kinds": ["sand", "prime"]}).status_code == 302
    berit.refresh_from_db()
    assert berit.kinds == ["sand", "prime"]
    assert "does 2 kinds of work" in at_desk.get(reverse("business")).content.decode()
    assert at_desk.post(address, {"kinds": list(stage_kinds())}).status_code == 302
    berit.refresh_from_db()
    assert berit.kinds == []


@pytest.mark.parametrize(
    ("kinds", "words"), [([], "Tick one at least"), (["gilding"], "valid choice")]
)
def test_kinds_of_work_that_cannot_be_are_refused(kinds, words, at_desk, berit):
    page = at_desk.post(reverse("person-kinds", args=[berit.pk]), {"kinds": kinds})
    assert page.status_code == 422
    assert words in str(page.context["form"].errors["kinds"])
    berit.refresh_from_db()
    assert berit.kinds == []


def test_a_coat_is_open_to_what_the_rules_have_worked_into_it_wet():
    """The shares are those of the rules oil-window and water-window, sources beside them there."""
    oil, acrylic = Layer("oil", "none"), Layer("acrylic", "none")
    assert open_share(oil, Layer("oil-alkyd")) == 0.25
    assert open_share(acrylic, Layer("acrylic")) == 0.1
    assert open_share(acrylic, Layer("oil")) is None, "oil seals in what acrylic has to lose"
    assert open_share(Layer("gesso", "none"), Layer("acrylic")) is None, "a ground must dry"
    assert open_share(Layer("oil", "touch-dry"), Layer("oil")) is None, "it is waited for"
