"""The furniture, drawn in elevation with its panels in their places."""

from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.urls import reverse
from django.views.decorators.http import require_GET, require_http_methods

from jobs.domain.cautions import piece_cautions
from jobs.forms import PieceForm
from jobs.models import Commission, Panel, Piece, Surface
from jobs.pictures import elevation_of, faces_of, panel_state
from studio.access import own
from studio.pages import counts_once, record_page, remove_page


@require_GET
def piece(request: HttpRequest, pk: int) -> HttpResponse:
    pieces = Piece.objects.of(request.studio).select_related("commission__client")
    own(request, Piece, pk=pk)
    record = pieces.prefetch_related(
        "surfaces__panels__stages__sittings", "surfaces__panels__stages__mix__parts"
    ).get(pk=pk)
    page = {
        "piece": record,
        "drawing": elevation_of(record),
        "rows": _rows(record),
        "cautions": piece_cautions(record),
    }
    return render(request, "jobs/piece.html", page)


def _rows(piece: Piece) -> list[tuple[Surface, list[tuple[str, str, Panel]]]]:
    """Return each surface with its panels as (letter in the drawing, state, panel)."""
    marks = {
        view.link: view.mark
        for face in faces_of(piece)
        for surface in face.surfaces
        for view in surface.panels
    }
    return [
        (
            surface,
            [
                (marks[reverse("panel", args=[panel.pk])], panel_state(panel), panel)
                for panel in surface.panels.all()
            ],
        )
        for surface in piece.surfaces.all()
    ]


@require_http_methods(["GET", "POST"])
def piece_edit(
    request: HttpRequest, pk: int | None = None, number: int | None = None
) -> HttpResponse:
    if pk is not None:
        record, back = own(request, Piece, pk=pk), reverse("piece", args=[pk])
    else:
        record = Piece(commission=own(request, Commission, number=number))
        back = reverse("commission", args=[number])
    return record_page(
        request,
        PieceForm,
        record,
        title="The piece of furniture",
        back=back,
        go=lambda kept: reverse("piece", args=[kept.pk]),
    )


@require_http_methods(["GET", "POST"])
@counts_once
def piece_remove(request: HttpRequest, pk: int) -> HttpResponse:
    record = own(request, Piece, pk=pk)
    return remove_page(
        request,
        record,
        back=reverse("piece", args=[pk]),
        go=reverse("commission", args=[record.commission.number]),
        loses="its surfaces and panels with their methods",
    )
