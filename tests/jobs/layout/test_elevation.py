"""The piece in elevation, to scale and lettered."""

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from jobs.layout.drawing import ROLES, Path
from jobs.layout.elevation import Face, SurfaceView, elevation, marked
from jobs.layout.legend import Words, scale_length
from jobs.layout.lettering import is_dark
from jobs.layout.panel_marks import STATES, PanelView
from jobs.layout.shapes import Shape

names = st.text(min_size=1, max_size=60)


@st.composite
def panels(draw, width, height):
    shape = Shape(
        draw(st.sampled_from(["rectangle", "circle", "oval", "arch", "frame"])),
        draw(st.integers(10, max(10, min(width, height)))),
        draw(st.integers(10, max(10, height))),
        band=draw(st.integers(1, 4)),
    )
    return PanelView(
        draw(names),
        shape,
        draw(st.integers(0, max(0, width - shape.width))),
        draw(st.integers(0, max(0, height - shape.height))),
        ground=draw(st.sampled_from(["", "#224466", "#f1e6cf"])),
        state=draw(st.sampled_from(["", *STATES])),
    )


@st.composite
def pieces(draw):
    faces = []
    for _ in range(draw(st.integers(1, 4))):
        width, height = draw(st.integers(200, 22_000)), draw(st.integers(200, 22_000))
        on_it = draw(st.lists(panels(width, height), max_size=3))
        surface = SurfaceView(draw(names), width, height, removable=True, panels=tuple(on_it))
        faces.append(Face(draw(names), (surface,)))
    return tuple(faces)


def extent(path: Path) -> tuple[float, float, float, float]:
    across = [value for move in path.moves for value in move[1::2]]
    down = [value for move in path.moves for value in move[2::2]]
    return min(across), min(down), max(across), max(down)


def chest(**panel) -> tuple[Face, ...]:
    view = PanelView("Rose", Shape("rectangle", 2000, 1500), 500, 250, **panel)
    return (Face("Front", (SurfaceView("Front", 11_000, 5500, panels=(view,)),)),)


@given(pieces())
@settings(max_examples=40)
def test_boards_and_panels_are_drawn_to_one_scale_inside_the_sheet(faces):
    drawing = elevation(faces)
    boards = [path for path in drawing.paths if path.role == "board-removable"]
    assert len(boards) == len(faces)
    for board, face in zip(boards, faces, strict=True):
        left, top, right, bottom = extent(board)
        [surface] = face.surfaces
        assert (right - left, bottom - top) == pytest.approx((surface.width, surface.height))
        assert left >= 0
        assert top >= 0
        assert right <= drawing.width
        assert bottom <= drawing.height


@given(pieces())
@settings(max_examples=40)
def test_faces_never_lie_over_one_another(faces):
    boards = [extent(p) for p in elevation(faces).paths if p.role == "board-removable"]
    for place, one in enumerate(boards):
        for other in boards[place + 1 :]:
            apart = one[2] < other[0] or other[2] < one[0] or one[3] < other[1] or other[3] < one[1]
            assert apart


@given(pieces())
@settings(max_examples=30)
def test_every_mark_has_a_role_that_is_explained(faces):
    assert {mark.role for mark in elevation(faces).marks} <= ROLES.keys()


@given(pieces())
@settings(max_examples=30)
def test_every_panel_is_found_by_its_own_letter(faces):
    letters = [p.mark for f in marked(faces) for s in f.surfaces for p in s.panels]
    assert len(set(letters)) == len(letters)
    drawn = [lab.text for lab in elevation(faces).labels if lab.role.startswith("key-letter")]
    assert sorted(text for text in drawn if text) == sorted(letters)


def test_a_panel_stands_in_its_place_on_its_surface():
    drawing = elevation(chest(ground="#aabbcc"))
    [board] = [path for path in drawing.paths if path.role == "board"]
    [panel] = [path for path in drawing.paths if path.role == "panel"]
    left, top, _, _ = extent(board)
    assert extent(panel) == pytest.approx((left + 500, top + 250, left + 2500, top + 1750))
    assert panel.fill == "#aabbcc"


def test_an_undecided_ground_is_hatched_and_said_in_words():
    drawing = elevation(chest(ground=""))
    assert {"panel-undecided", "hatch-undecided"} <= {path.role for path in drawing.paths}
    assert "ground undecided" in {label.text for label in drawing.labels}
    [panel] = [p for p in drawing.paths if p.role == "panel-undecided" and p.title]
    assert panel.title == "A Rose: ground undecided"


def test_a_settled_ground_is_neither_hatched_nor_called_undecided():
    drawing = elevation(chest(ground="#aabbcc"))
    assert not [mark for mark in drawing.marks if "undecided" in mark.role]
    assert "ground undecided" not in {label.text for label in drawing.labels}


@pytest.mark.parametrize("state", STATES)
def test_a_state_is_told_by_form_and_by_word(state):
    drawing = elevation(chest(ground="#aabbcc", state=state))
    assert f"key-{state}" in {path.role for path in drawing.paths}
    assert Words().states[state] in {label.text for label in drawing.labels}


def bordered_door(band: int, left: int = 0) -> SurfaceView:
    """A door covered by a border with a picture that fills all it leaves free."""
    border = PanelView("Border", Shape("frame", 4000, 8400, band=band), 0, 0, ground="#aabbcc")
    room = Shape("rectangle", 4000 - 2 * band, 8400 - 2 * band)
    picture = PanelView("Rose", room, band, band, ground="#f1e6cf")
    return SurfaceView("Door", 4000, 8400, left, panels=(border, picture))


@pytest.mark.parametrize("band", [120, 900])
def test_the_letter_of_a_border_is_neither_hidden_by_the_picture_nor_on_its_letter(band):
    marks = elevation((Face("Front", (bordered_door(band),)),)).marks
    discs = {
        label.text: (place, label.x, label.y)
        for place, label in enumerate(marks)
        if label.role == "key-letter"
    }
    [picture] = [
        place for place, mark in enumerate(marks) if getattr(mark, "fill", "") == "#f1e6cf"
    ]
    assert picture < discs["A"][0]
    assert discs["A"][2] < discs["B"][2] - 1000


@pytest.mark.parametrize("band", [120, 900])
def test_the_letter_of_a_border_stays_on_its_own_door(band):
    doors = (bordered_door(band), bordered_door(band, left=4000))
    drawing = elevation((Face("Front", doors),))
    boards = [extent(path) for path in drawing.paths if path.role == "board"]
    discs = [extent(path) for path in drawing.paths if path.role == "key"]
    assert len(discs) == 4
    for place, (left, top, right, bottom) in enumerate(discs):
        board = boards[place // 2]
        assert board[0] <= left < right <= board[2]
        assert board[1] <= top + 0.01 < bottom <= board[3]


def test_a_panel_leads_to_its_page():
    drawing = elevation(chest(ground="#aabbcc", link="/panels/7/"))
    assert drawing.has_links
    assert [path.link for path in drawing.paths if path.link] == ["/panels/7/"]


def test_a_given_letter_is_kept_and_others_go_round_it():
    shape = Shape("rectangle", 100, 100)
    views = (PanelView("One", shape, 0, 0), PanelView("Two", shape, 200, 0, mark="A"))
    [face] = marked((Face("Lid", (SurfaceView("Lid", 1000, 1000, panels=views),)),))
    assert [panel.mark for panel in face.surfaces[0].panels] == ["B", "A"]


def test_a_piece_without_surfaces_says_so_in_the_language_of_the_page():
    words = Words(nothing="noch keine Flächen")
    drawing = elevation((Face("Front", ()),), words=words)
    assert [label.text for label in drawing.labels] == ["noch keine Flächen"]


def test_a_panel_that_cannot_be_painted_does_not_spoil_the_picture():
    bad = PanelView("Nothing", Shape("arch", 0, 0), 0, 0)
    board = SurfaceView("Front", 11_000, 5500, panels=(bad,))
    assert next(path.role for path in elevation((Face("Front", (board,)),)).paths) == "board"


def test_all_names_are_in_the_words_for_someone_who_cannot_see():
    assert elevation(chest(ground="#fff"), title="Blanket chest").title == (
        "Blanket chest. Front: A Rose"
    )


def test_the_names_of_doors_with_no_free_strip_are_told_below_the_face():
    full = PanelView("Interlace", Shape("rectangle", 4000, 9000), 0, 0, ground="#fff")
    doors = tuple(
        SurfaceView(name, 4000, 9000, left, 0, panels=(full,))
        for name, left in (("Left door", 0), ("Right door", 4000))
    )
    drawing = elevation((Face("Front", doors),))
    notes = [label.text for label in drawing.labels if label.role == "note"]
    assert "Left door · Right door" in notes


@pytest.mark.parametrize(
    ("room", "unit", "told"),
    [
        (2400, "cm", "20 cm"),
        (199, "cm", "1 cm"),
        (99_000, "cm", "500 cm"),
        (50, "cm", "1 cm"),
        (3100, "in", "12 in"),
        (130, "in", "0.5 in"),
    ],
)
def test_the_scale_bar_has_a_round_length(room, unit, told):
    assert scale_length(room, unit)[1] == told


def test_the_scale_bar_is_as_long_as_it_says():
    drawing = elevation(chest(ground="#fff"))
    [bar] = [path for path in drawing.paths if path.role == "scale-bar"]
    left, _, right, _ = extent(bar)
    [told] = [label.text for label in drawing.labels if label.role == "scale-label"]
    assert told == f"{(right - left) / 100:g} cm"


@pytest.mark.parametrize(
    ("colour", "dark"), [("#000", True), ("#ffffff", False), ("#35506b", True), ("#c9b48a", False)]
)
def test_letters_are_light_on_a_dark_ground(colour, dark):
    assert is_dark(colour) is dark
