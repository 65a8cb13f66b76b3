"""A panel's coats in cross-section."""

import itertools

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from shapely import box

from jobs.layout.drawing import ROLES
from jobs.layout.hatch import hatching
from jobs.layout.section import STATE_WORDS, Coat, cross_section

coats = st.lists(
    st.builds(
        Coat,
        st.text(min_size=1, max_size=50),
        st.sampled_from(sorted(STATE_WORDS)),
        st.sampled_from(["", "#c79a4a"]),
        st.sampled_from(["gesso", "ground", "paint", "glaze", "varnish", "something else"]),
    ),
    max_size=18,
)


def heights(drawing):
    """The band of each coat from the bottom up, as (upper, lower) of its ends on the left."""
    bands = [path for path in drawing.paths if path.role.startswith("coat-")]
    return [
        (min(m[-1] for m in band.moves[:-1]), max(m[-1] for m in band.moves[:-1])) for band in bands
    ]


@given(coats, st.booleans())
@settings(max_examples=40)
def test_every_coat_is_in_the_picture_and_the_picture_on_its_sheet(stack, large):
    drawing = cross_section(stack, large=large)
    drawn = [path.title for path in drawing.paths if path.role.startswith("coat-")]
    assert list(dict.fromkeys(drawn)) == list(dict.fromkeys(c.name for c in stack))
    for upper, lower in heights(drawing):
        assert 0 <= upper < lower <= drawing.height


@given(coats, st.booleans())
@settings(max_examples=30)
def test_every_mark_has_a_role_that_is_explained(stack, large):
    assert {mark.role for mark in cross_section(stack, large=large).marks} <= ROLES.keys()


@given(coats)
@settings(max_examples=30)
def test_later_coats_lie_higher(stack):
    middles = [(upper + lower) / 2 for upper, lower in heights(cross_section(stack, large=True))]
    assert all(later <= earlier + 2 for earlier, later in itertools.pairwise(middles))


@pytest.mark.parametrize(
    ("state", "roles"),
    [
        ("done", ["coat-done"]),
        ("drying", ["coat-drying", "hatch-drying"]),
        ("wet", ["coat-drying", "hatch-drying"]),
        ("working", ["coat-planned", "coat-working"]),
        ("planned", ["coat-planned"]),
    ],
)
def test_a_state_is_told_by_its_strokes(state, roles):
    drawing = cross_section([Coat("First oil", state, "#c79a4a")])
    assert [path.role for path in drawing.paths if path.role not in ("wood", "grain")] == roles


@pytest.mark.parametrize(("colour", "role"), [("#111", "-light"), ("#f7f3ea", "")])
def test_hatching_is_seen_on_dark_and_on_pale_coats(colour, role):
    drawing = cross_section([Coat("Oil", "drying", colour)])
    assert f"hatch-drying{role}" in {path.role for path in drawing.paths}


def test_a_planned_coat_has_no_colour_yet():
    [band] = [
        path
        for path in cross_section([Coat("Glaze", "planned", "#c79a4a")]).paths
        if path.role == "coat-planned"
    ]
    assert band.fill == ""


def test_the_large_picture_names_each_coat_and_its_state():
    stack = [Coat("Gesso", "done", "", "gesso"), Coat("First oil", "drying", "#c79a4a")]
    told = [label.text for label in cross_section(stack, large=True).labels]
    assert told == ["bare wood", "Gesso", "done", "First oil", "drying"]


def test_the_small_picture_is_64_by_72_and_has_no_letters():
    drawing = cross_section([Coat("Gesso", "done")] * 12)
    assert (drawing.width, drawing.height, drawing.labels) == (64, 72, [])


def test_the_picture_is_told_in_words_with_like_coats_counted():
    stack = [Coat("Gesso", "done")] * 3 + [Coat("First oil", "drying")]
    assert (
        cross_section(stack, wood="old paint").title == "old paint, Gesso ×3 done, First oil drying"
    )


def test_bare_wood_is_a_picture_too():
    assert [path.role for path in cross_section([]).paths] == ["wood", "grain"]


def test_the_states_can_be_said_in_the_language_of_the_page():
    words = {**STATE_WORDS, "drying": "trocknet"}
    drawing = cross_section([Coat("Öl", "drying")], large=True, words=words, wood="Holz")
    assert [label.text for label in drawing.labels] == ["Holz", "Öl", "trocknet"]


@given(st.integers(10, 3000), st.integers(10, 3000), st.integers(20, 300), st.booleans())
@settings(max_examples=40)
def test_hatching_stays_within_its_edge_and_is_as_dense_as_asked(width, height, gap, rising):
    strokes = hatching(box(100, 200, 100 + width, 200 + height), gap, rising)
    length = 0.0
    for start, end in zip(strokes[::2], strokes[1::2], strict=True):
        assert 100 - 1e-6 <= min(start[1], end[1]) <= max(start[1], end[1]) <= 100 + width + 1e-6
        assert 200 - 1e-6 <= min(start[2], end[2]) <= max(start[2], end[2]) <= 200 + height + 1e-6
        length += ((end[1] - start[1]) ** 2 + (end[2] - start[2]) ** 2) ** 0.5
    # Strokes `gap` apart cover an area with area / gap of line, but for what the edges cut.
    assert length == pytest.approx(width * height / gap, abs=3 * (width + height))
