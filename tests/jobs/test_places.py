"""Surfaces and panels typed in: what fits is kept, what cannot be is said beside its field."""

import pytest
from django.urls import reverse

from jobs.domain.places import keep_panel, keep_surface, mirror_panel
from jobs.domain.reckoning import panel_size
from jobs.models import Panel, Surface
from studio.models import Studio
from studio.refusal import Refused
from studio.signals import hold_changes
from tests.cast import asked, panel_of, piece_of, surface_of

LID = {"name": "Lid", "face": "top", "width": "90", "height": "50"}
PLAIT = {
    "name": "Plait", "kind": "rectangle", "width": "20", "height": "20", "left": "", "top": "",
    "motif": "plait border", "intricacy": "3", "ground": "decided", "ground_name": "old linen",
    "ground_colour": "#d9cdb9", "band": "", "corners": "", "sheet": "",
}  # fmt: skip
BORDER = {**PLAIT, "name": "Border", "kind": "frame", "width": "90", "height": "50", "band": "5"}


@pytest.fixture
def piece(anna):
    with hold_changes():
        return piece_of(asked(anna.studio))


@pytest.fixture
def lid(piece) -> Surface:
    return surface_of(piece)


def errors_of(response) -> dict[str, list[str]]:
    assert response.status_code == 422
    return dict(response.context["form"].errors)


def test_a_surface_is_kept_in_tenths_of_a_millimetre(at_desk, piece):
    assert at_desk.post(reverse("surface-new", args=[piece.pk]), LID).status_code == 302
    lid = piece.surfaces.get()
    assert (lid.width, lid.height, lid.left, lid.top) == (9000, 5000, 0, 0)


def test_a_second_surface_of_a_face_stands_beside_the_first(at_desk, piece):
    for name in ("Left door", "Right door"):
        data = {**LID, "name": name, "face": "front"}
        at_desk.post(reverse("surface-new", args=[piece.pk]), data)
    assert list(piece.surfaces.values_list("left", flat=True)) == [0, 9000]


@pytest.mark.parametrize("side", ["width", "height"])
@pytest.mark.parametrize("typed", ["0", "-5", "1000000000", "wide", "inf", "1e9", ""])
@pytest.mark.parametrize("thing", ["surface", "panel"])
def test_a_size_that_cannot_be_is_one_sentence_beside_it(thing, typed, side, at_desk, piece, lid):
    if thing == "surface":
        path, data = reverse("surface-new", args=[piece.pk]), LID
    else:
        path, data = reverse("panel-new", args=[lid.pk]), PLAIT
    response = at_desk.post(path, {**data, side: typed})
    errors = errors_of(response)
    assert list(errors) == [side]
    assert len(errors[side]) == 1
    assert f'value="{typed}"' in response.content.decode() or not typed
    assert (piece.surfaces.count(), lid.panels.count()) == (1, 0)


def test_inches_are_read_in_a_studio_of_inches(at_desk, anna, lid):
    Studio.objects.filter(pk=anna.studio.pk).update(unit="in", locale="en_US")
    data = {**PLAIT, "width": "7 1/2", "height": '8"'}
    assert at_desk.post(reverse("panel-new", args=[lid.pk]), data).status_code == 302
    panel = lid.panels.get()
    assert (panel.width, panel.height) == (1905, 2032)


@pytest.mark.parametrize(
    ("changed", "field", "says"),
    [
        ({"width": "91"}, "width", "wider than its surface by 1 cm"),
        ({"height": "51"}, "height", "higher than its surface by 1 cm"),
        ({"left": "75", "top": "0"}, "left", "past the right edge of its surface by 5 cm"),
        ({"left": "0", "top": "35"}, "top", "past the bottom edge of its surface by 5 cm"),
    ],
)
def test_a_panel_outside_its_surface_is_told_by_how_much(changed, field, says, at_desk, lid):
    errors = errors_of(at_desk.post(reverse("panel-new", args=[lid.pk]), {**PLAIT, **changed}))
    assert list(errors) == [field]
    assert says in errors[field][0]
    assert not lid.panels.exists()


def test_a_panel_over_another_is_refused_by_the_others_name(at_desk, lid):
    panel_of(lid, "Finch", left=1000)
    data = {**PLAIT, "left": "0", "top": "0"}
    errors = errors_of(at_desk.post(reverse("panel-new", args=[lid.pk]), data))
    assert list(errors) == ["left"]
    assert "Finch" in errors["left"][0]


def test_panels_may_touch(at_desk, lid):
    panel_of(lid, "Finch", left=2000)
    data = {**PLAIT, "left": "0", "top": "0"}
    assert at_desk.post(reverse("panel-new", args=[lid.pk]), data).status_code == 302


def test_a_panel_without_a_place_finds_one_beside_the_others(at_desk, lid):
    for name in ("One", "Two", "Three"):
        data = {**PLAIT, "name": name}
        assert at_desk.post(reverse("panel-new", args=[lid.pk]), data).status_code == 302
    assert lid.panels.count() == 3


def test_a_circle_is_as_high_as_it_is_wide(at_desk, lid):
    data = {**PLAIT, "kind": "circle", "width": "30", "height": ""}
    at_desk.post(reverse("panel-new", args=[lid.pk]), data)
    assert lid.panels.get().height == 3000


def test_a_border_is_kept_with_its_band_and_shown_again(at_desk, lid):
    assert at_desk.post(reverse("panel-new", args=[lid.pk]), BORDER).status_code == 302
    border = lid.panels.get()
    assert (border.kind, border.band, border.left, border.top) == ("frame", 500, 0, 0)
    form = at_desk.get(reverse("panel-edit", args=[border.pk])).context["form"]
    assert 'value="5"' in str(form["band"])
    page = at_desk.get(reverse("panel", args=[border.pk])).content.decode()
    assert "frame, 90 cm × 50 cm, 5 cm wide" in page


def test_a_picture_goes_inside_the_border_and_is_priced_apart_from_it(at_desk, lid):
    at_desk.post(reverse("panel-new", args=[lid.pk]), BORDER)
    picture = {**PLAIT, "name": "Finch", "width": "80", "height": "40"}
    assert at_desk.post(reverse("panel-new", args=[lid.pk]), picture).status_code == 302
    border, finch = lid.panels.all()
    assert (finch.left, finch.top) == (500, 500)
    # 90 x 50 cm less 80 x 40 cm is 1300 cm2.
    assert [panel_size(panel).area_mm2 for panel in (border, finch)] == [130_000, 320_000]


def test_a_panel_on_the_band_of_a_border_is_refused(at_desk, lid):
    at_desk.post(reverse("panel-new", args=[lid.pk]), BORDER)
    data = {**PLAIT, "left": "4.9", "top": "10"}
    errors = errors_of(at_desk.post(reverse("panel-new", args=[lid.pk]), data))
    assert errors == {"left": ["It would lie over Border. Move or shrink it."]}


@pytest.mark.parametrize("typed", ["", "0", "-1", "25", "40", "wide", "1000000000"])
def test_a_band_that_cannot_be_is_one_sentence_beside_it(typed, at_desk, lid):
    errors = errors_of(at_desk.post(reverse("panel-new", args=[lid.pk]), {**BORDER, "band": typed}))
    assert list(errors) == ["band"]
    assert len(errors["band"]) == 1


def test_what_was_typed_for_another_shape_does_not_stand_in_the_way(at_desk, lid):
    data = {**PLAIT, "band": "wide", "corners": "nonsense"}
    assert at_desk.post(reverse("panel-new", args=[lid.pk]), data).status_code == 302
    panel = lid.panels.get()
    assert (panel.band, panel.points) == (0, [])


def test_the_mirror_image_of_a_border_has_its_band(lid):
    border = panel_of(lid, kind="frame", band=300)
    assert mirror_panel(border, surface=surface_of(lid.piece, "Bottom"), name="Two").band == 300


@pytest.mark.parametrize(
    "corners",
    [
        "0;0\n20;0",
        "0;0\n20;20\n20;0\n0;20",
        "0;0\nnonsense",
        "0;0\n20;x\n0;20",
        "0;0\n5;0\n5;5",
        "",
    ],
)
def test_corners_that_enclose_no_panel_are_refused_and_stay_typed(corners, at_desk, lid):
    data = {**PLAIT, "kind": "polygon", "corners": corners}
    response = at_desk.post(reverse("panel-new", args=[lid.pk]), data)
    assert list(errors_of(response)) == ["corners"]
    assert all(line in response.content.decode() for line in corners.splitlines())


@pytest.mark.parametrize("kind", ["polygon", "oval"])
def test_more_corners_than_anyone_draws_are_refused_unread(kind, at_desk, lid, monkeypatch):
    read = []
    monkeypatch.setattr("studio.fields.units.parse_length", lambda *_, **__: read.append(1) or 1)
    corners = "\n".join(f"{number}; {number}" for number in range(60_000))
    data = {**PLAIT, "kind": kind, "corners": corners}
    response = at_desk.post(reverse("panel-new", args=[lid.pk]), data)
    assert len(read) < 10
    if kind == "polygon":
        [sentence] = errors_of(response)["corners"]
        assert "More than 60 corners" in sentence
        assert "oval" in sentence


def test_the_corners_of_a_polygon_are_kept_and_shown_again(at_desk, lid):
    data = {**PLAIT, "kind": "polygon", "corners": "0;0\n20;0\n10;20"}
    assert at_desk.post(reverse("panel-new", args=[lid.pk]), data).status_code == 302
    panel = lid.panels.get()
    assert panel.points == [[0, 0], [2000, 0], [1000, 2000]]
    form = at_desk.get(reverse("panel-edit", args=[panel.pk])).context["form"]
    assert form["corners"].value() == "0; 0\n20; 0\n10; 20"


def test_an_undecided_ground_is_allowed_and_known_as_such(at_desk, lid):
    data = {**PLAIT, "ground": "undecided"}
    assert at_desk.post(reverse("panel-new", args=[lid.pk]), data).status_code == 302
    panel = lid.panels.get()
    assert not panel.ground_decided
    assert (panel.ground_name, panel.ground_colour) == ("", "")
    form = at_desk.get(reverse("panel-edit", args=[panel.pk])).context["form"]
    assert form["ground"].value() == "undecided"


def test_a_decided_ground_whose_colour_was_never_chosen_is_asked_about(at_desk, lid):
    path = reverse("panel-new", args=[lid.pk])
    blank = at_desk.get(path).context["form"]["ground_colour"].value()
    errors = errors_of(at_desk.post(path, {**PLAIT, "ground_colour": blank}))
    assert errors == {
        "ground_colour": ["Choose the colour; the field still shows the blank it opens with."]
    }
    data = {**PLAIT, "ground_colour": blank, "ground": "undecided"}
    assert at_desk.post(path, data).status_code == 302


def test_a_panel_opens_with_the_ground_colour_it_has(at_desk, lid):
    path = reverse("panel-edit", args=[panel_of(lid).pk])
    assert at_desk.get(path).context["form"]["ground_colour"].value() == "#d9cdb9"


@pytest.mark.parametrize(
    ("changed", "field"),
    [
        ({"ground_name": ""}, "ground_name"),
        ({"ground_colour": "linen"}, "ground_colour"),
        ({"intricacy": "6"}, "intricacy"),
        ({"intricacy": "0"}, "intricacy"),
        ({"kind": "star"}, "kind"),
        ({"name": ""}, "name"),
        ({"sheet": "999999"}, "sheet"),
    ],
)
def test_a_panel_half_said_is_asked_about_beside_the_field(changed, field, at_desk, lid):
    response = at_desk.post(reverse("panel-new", args=[lid.pk]), {**PLAIT, **changed})
    assert list(errors_of(response)) == [field]


def test_a_surface_cannot_shrink_under_its_panels(lid):
    panel_of(lid, left=7000)
    lid.width = 8000
    with pytest.raises(Refused, match="no longer fit") as refused:
        keep_surface(lid)
    assert refused.value.field == "width"


def test_a_panel_kept_as_it_stands_is_not_over_itself(lid):
    panel = panel_of(lid)
    panel.motif = "wren"
    keep_panel(panel, seen_version=panel.version)
    assert Panel.objects.get().motif == "wren"


def test_the_mirror_image_stands_at_the_other_side_with_the_same_work(lid):
    panel = panel_of(lid, left=500, motif="finch")
    twin = mirror_panel(panel, surface=lid, name="Finch, mirrored")
    assert twin.left + twin.width == lid.width - panel.left
    assert (twin.mirrored_from, twin.motif, twin.ground_name) == (panel, "finch", "old linen")
    work = ("kind", "binder", "coats", "gate", "position")
    assert list(twin.stages.values_list(*work)) == list(panel.stages.values_list(*work))
    assert set(twin.stages.values_list("pk")).isdisjoint(panel.stages.values_list("pk"))


def test_the_mirror_image_of_a_mirror_image_has_the_first_ones_corners(lid):
    corners = [[0, 0], [2000, 0], [500, 2000]]
    panel = panel_of(lid, kind="polygon", points=corners)
    twin = mirror_panel(panel, surface=lid, name="Two")
    assert twin.points == [[2000, 0], [0, 0], [1500, 2000]]
    again = mirror_panel(twin, surface=surface_of(lid.piece, "Bottom"), name="Three")
    assert again.points == corners


def test_a_panel_in_the_middle_cannot_be_mirrored_on_to_itself(at_desk, lid):
    panel = panel_of(lid, left=3500)
    data = {"surface": lid.pk, "name": "Twin"}
    response = at_desk.post(reverse("panel-mirror", args=[panel.pk]), data)
    assert response.status_code == 422
    assert "Plait" in response.context["form"].non_field_errors()[0]
    assert lid.panels.count() == 1


def test_a_mirror_image_stays_on_the_piece(at_desk, lid, stranger):
    elsewhere = surface_of(piece_of(asked(stranger.studio)))
    panel = panel_of(lid)
    data = {"surface": elsewhere.pk, "name": "Twin"}
    response = at_desk.post(reverse("panel-mirror", args=[panel.pk]), data)
    assert list(errors_of(response)) == ["surface"]
