"""Faces of a piece."""

from django.http import HttpRequest, HttpResponse
from django.urls import reverse
from django.views.decorators.http import require_http_methods

from jobs.domain.places import keep_surface
from jobs.forms import SurfaceForm
from jobs.models import Piece, Surface
from studio.access import own
from studio.pages import counts_once, record_page, remove_page


@require_http_methods(["GET", "POST"])
def surface_edit(
    request: HttpRequest, pk: int | None = None, piece: int | None = None
) -> HttpResponse:
    if pk is not None:
        record = own(request, Surface, pk=pk)
    else:
        record = Surface(piece=own(request, Piece, pk=piece))
    back = reverse("piece", args=[record.piece_id])
    return record_page(
        request,
        SurfaceForm,
        record,
        title=record.name if pk is not None else "A surface",
        back=back,
        keep=keep_surface,
        template="jobs/surface.html",
        context={"surface": record},
    )


@require_http_methods(["GET", "POST"])
@counts_once
def surface_remove(request: HttpRequest, pk: int) -> HttpResponse:
    record = own(request, Surface, pk=pk)
    return remove_page(
        request,
        record,
        back=reverse("surface-edit", args=[pk]),
        go=reverse("piece", args=[record.piece_id]),
        loses="its panels with their methods",
    )
