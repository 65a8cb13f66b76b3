"""The signature pictures of records: a piece in elevation, a panel as a paint cross-section."""

from django.urls import reverse

from jobs.domain.lessons import Lesson
from jobs.layout.curve import belief
from jobs.layout.drawing import Drawing
from jobs.layout.elevation import Face, PanelView, SurfaceView, elevation, marked
from jobs.layout.section import Coat, cross_section
from jobs.models import Panel, Piece, Stage, Surface
from jobs.paint.substrates import lies_under


def faces_of(piece: Piece, *, linked: bool = True) -> tuple[Face, ...]:
    """Return the piece's faces with their surfaces and lettered panels, for a drawing.

    Reads surfaces, panels, stages and sittings: prefetch them. `linked` leads to their pages.
    """
    faces = []
    for key, name in Surface.Face.choices:
        surfaces = [surface for surface in piece.surfaces.all() if surface.face == key]
        if surfaces:
            views = tuple(_surface_view(surface, linked) for surface in surfaces)
            faces.append(Face(name, views))
    return marked(faces)


def elevation_of(piece: Piece, *, linked: bool = True) -> Drawing:
    unit = piece.owner.unit
    return elevation(faces_of(piece, linked=linked), title=piece.name, unit=unit)


def marks_of(piece: Piece) -> dict[int, str]:
    """Return the letter of each panel in the elevation, by the panel's key."""
    views = [
        view
        for face in faces_of(piece, linked=False)
        for surface in face.surfaces
        for view in surface.panels
    ]
    panels = [
        panel.pk
        for key, _ in Surface.Face.choices
        for surface in piece.surfaces.all()
        if surface.face == key
        for panel in surface.panels.all()
    ]
    return {pk: view.mark for pk, view in zip(panels, views, strict=True)}


def _surface_view(surface: Surface, linked: bool) -> SurfaceView:
    return SurfaceView(
        name=surface.name,
        width=surface.width,
        height=surface.height,
        left=surface.left,
        top=surface.top,
        removable=surface.removable,
        panels=tuple(_panel_view(panel, linked) for panel in surface.panels.all()),
        link=reverse("surface-edit", args=[surface.pk]) if linked else "",
    )


def _panel_view(panel: Panel, linked: bool) -> PanelView:
    return PanelView(
        name=panel.name,
        shape=panel.shape,
        left=panel.left,
        top=panel.top,
        motif=panel.motif,
        ground=panel.ground_colour,
        link=reverse("panel", args=[panel.pk]) if linked else "",
        state=panel_state(panel) if linked else "",
    )


def panel_state(panel: Panel) -> str:
    """Return "planned", "working" or "done", as far as its log tells."""
    stages = panel.stages.all()
    if stages and all(stage.done for stage in stages):
        return "done"
    return "working" if any(stage.sittings.all() for stage in stages) else "planned"


def section_of(panel: Panel, *, drying: bool, large: bool = False) -> Drawing:
    """Return the panel's coats on the piece as it came in.

    `drying` says whether its last coat still dries. Reads the piece.
    """
    coats = [coat for stage in panel.stages.all() for coat in _coats(stage, panel)]
    if drying:
        done = [place for place, coat in enumerate(coats) if coat.state == "done"]
        if done:
            last = coats[done[-1]]
            coats[done[-1]] = Coat(last.name, "drying", last.colour, last.role)
    piece = panel.surface.piece
    return cross_section(coats, large=large, wood=lies_under(piece.material, piece.finish))


def _coats(stage: Stage, panel: Panel) -> list[Coat]:
    if not stage.sort.is_coat:
        return []
    colour = stage.mix.swatch if stage.mix else ""
    if stage.sort.places_ground and not colour:
        colour = panel.ground_colour
    done = stage.coats_done
    states = ["done"] * done + ["planned"] * (stage.coats - done)
    if stage.running and done < stage.coats:
        states[done] = "working"
    return [
        Coat(stage.coat_name(number), state, colour, stage.sort.role)
        for number, state in enumerate(states, start=1)
    ]


def belief_of(lesson: Lesson) -> Drawing:
    """Return what touch tests taught as two curves, with the tests as bars below."""
    seen = [(one.low, one.high) for one in lesson.seen]
    return belief(
        lesson.posterior.points,
        seen,
        title=f"How long {lesson.binder.name} takes to touch-dry here, against the table",
    )
