"""Stages of a panel's own method."""

from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect
from django.urls import reverse
from django.views.decorators.http import require_http_methods, require_POST

from jobs.forms import StageForm
from jobs.models import Panel, Stage
from jobs.views.steps import move, step_page
from studio.access import own
from studio.pages import counts_once, remove_page


@require_http_methods(["GET", "POST"])
def stage_edit(
    request: HttpRequest, pk: int | None = None, panel: int | None = None
) -> HttpResponse:
    record = (
        own(request, Stage, pk=pk) if pk is not None else Stage(panel=own(request, Panel, pk=panel))
    )
    back = reverse("panel", args=[record.panel_id])
    remove = reverse("stage-remove", args=[pk]) if pk is not None else ""
    return step_page(request, StageForm, record, back=back, remove=remove)


@require_http_methods(["GET", "POST"])
@counts_once
def stage_remove(request: HttpRequest, pk: int) -> HttpResponse:
    record = own(request, Stage, pk=pk)
    back = reverse("panel", args=[record.panel_id])
    return remove_page(request, record, back=back, go=back)


@require_POST
def stage_move(request: HttpRequest, pk: int, way: str) -> HttpResponse:
    record = own(request, Stage, pk=pk)
    move(request, record, way)
    return redirect(reverse("panel", args=[record.panel_id]) + "#method")
