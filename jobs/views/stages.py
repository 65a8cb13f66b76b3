"""Stages of a panel's own method."""

from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect
from django.urls import reverse
from django.views.decorators.http import require_http_methods, require_POST

from jobs.forms import StageForm
from jobs.models import Panel, Stage
from jobs.views.steps import check_page, move, step_page
from studio.access import own
from studio.pages import counts_once, remove_page


@require_http_methods(["GET", "POST"])
def stage_edit(
    request: HttpRequest, pk: int | None = None, panel: int | None = None
) -> HttpResponse:
    record = _stage(request, pk, panel)
    back = reverse("panel", args=[record.panel_id])
    if pk is not None:
        check, remove = reverse("stage-check", args=[pk]), reverse("stage-remove", args=[pk])
    else:
        check, remove = reverse("stage-new-check", args=[panel]), ""
    return step_page(request, StageForm, record, back=back, check=check, remove=remove)


@require_POST
def stage_check(
    request: HttpRequest, pk: int | None = None, panel: int | None = None
) -> HttpResponse:
    return check_page(request, StageForm, _stage(request, pk, panel))


def _stage(request: HttpRequest, pk: int | None, panel: int | None) -> Stage:
    """Return a stage of ours, or a new one on a panel of ours."""
    if pk is not None:
        return own(request, Stage, pk=pk)
    return Stage(panel=own(request, Panel, pk=panel))


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
