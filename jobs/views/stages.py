"""Stages of a panel's own method."""

from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect
from django.urls import reverse
from django.views.decorators.http import require_http_methods, require_POST

from jobs.domain.methods import keep_step
from jobs.forms import StageForm
from jobs.models import Panel, Stage
from jobs.views.steps import move
from studio.access import own
from studio.pages import record_page, remove_page


@require_http_methods(["GET", "POST"])
def stage_edit(
    request: HttpRequest, pk: int | None = None, panel: int | None = None
) -> HttpResponse:
    record = (
        own(request, Stage, pk=pk) if pk is not None else Stage(panel=own(request, Panel, pk=panel))
    )
    return record_page(
        request,
        StageForm,
        record,
        title=record.name if pk is not None else "A stage",
        back=reverse("panel", args=[record.panel_id]),
        keep=keep_step,
        template="jobs/step.html",
        context={"remove": reverse("stage-remove", args=[pk]) if pk is not None else ""},
    )


@require_http_methods(["GET", "POST"])
def stage_remove(request: HttpRequest, pk: int) -> HttpResponse:
    record = own(request, Stage, pk=pk)
    back = reverse("panel", args=[record.panel_id])
    return remove_page(request, record, back=back, go=back)


@require_POST
def stage_move(request: HttpRequest, pk: int, way: str) -> HttpResponse:
    record = own(request, Stage, pk=pk)
    move(request, record, way)
    return redirect(reverse("panel", args=[record.panel_id]) + "#method")
