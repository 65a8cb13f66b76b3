"""Method sheets of the studio."""

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.urls import reverse
from django.views.decorators.http import require_GET, require_http_methods, require_POST

from jobs.domain.folding import alone_among, fold
from jobs.domain.layering import method_findings
from jobs.domain.methods import add_shipped_sheets
from jobs.forms import SheetForm, StepForm
from jobs.models import MethodSheet, SheetStage
from jobs.views.steps import check_page, move, step_page
from studio.access import own
from studio.pages import counts_once, record_page, remove_page


@require_GET
def sheets(request: HttpRequest) -> HttpResponse:
    rows = MethodSheet.objects.of(request.studio).prefetch_related("stages")
    return render(request, "jobs/sheets.html", {"sheets": rows})


@require_POST
def sheets_restore(request: HttpRequest) -> HttpResponse:
    made = add_shipped_sheets(request.studio)
    names = ", ".join(f"‘{sheet.name}’" for sheet in made)
    messages.success(request, f"Added: {names}." if made else "You have all of them already.")
    return redirect("sheets")


@require_GET
def sheet(request: HttpRequest, pk: int) -> HttpResponse:
    record = own(request, MethodSheet, pk=pk)
    steps = list(record.stages.all())
    found = method_findings(steps, studio=request.studio)
    page = {
        "sheet": record,
        "steps": steps,
        "findings": found,
        "alone": alone_among(found),
        "notices": [notice for notice in fold(found) if notice.of_several],
    }
    return render(request, "jobs/sheet.html", page)


@require_http_methods(["GET", "POST"])
def sheet_edit(request: HttpRequest, pk: int | None = None) -> HttpResponse:
    record = (
        own(request, MethodSheet, pk=pk) if pk is not None else MethodSheet(studio=request.studio)
    )
    return record_page(
        request,
        SheetForm,
        record,
        title="A method sheet",
        back=reverse("sheet", args=[pk]) if pk is not None else reverse("sheets"),
        go=lambda kept: reverse("sheet", args=[kept.pk]),
    )


@require_http_methods(["GET", "POST"])
@counts_once
def sheet_remove(request: HttpRequest, pk: int) -> HttpResponse:
    record = own(request, MethodSheet, pk=pk)
    return remove_page(
        request,
        record,
        back=reverse("sheet", args=[pk]),
        go=reverse("sheets"),
        loses="its stages (panels keep the copies they were given)",
    )


@require_http_methods(["GET", "POST"])
def step_edit(
    request: HttpRequest, pk: int | None = None, sheet: int | None = None
) -> HttpResponse:
    record = _step(request, pk, sheet)
    back = reverse("sheet", args=[record.sheet_id])
    if pk is not None:
        check, remove = reverse("step-check", args=[pk]), reverse("step-remove", args=[pk])
    else:
        check, remove = reverse("step-new-check", args=[sheet]), ""
    return step_page(request, StepForm, record, back=back, check=check, remove=remove)


@require_POST
def step_check(
    request: HttpRequest, pk: int | None = None, sheet: int | None = None
) -> HttpResponse:
    return check_page(request, StepForm, _step(request, pk, sheet))


def _step(request: HttpRequest, pk: int | None, sheet: int | None) -> SheetStage:
    """Return a stage of a sheet of ours, or a new one on a sheet of ours."""
    if pk is not None:
        return own(request, SheetStage, pk=pk)
    return SheetStage(sheet=own(request, MethodSheet, pk=sheet))


@require_http_methods(["GET", "POST"])
@counts_once
def step_remove(request: HttpRequest, pk: int) -> HttpResponse:
    record = own(request, SheetStage, pk=pk)
    back = reverse("sheet", args=[record.sheet_id])
    return remove_page(request, record, back=back, go=back)


@require_POST
def step_move(request: HttpRequest, pk: int, way: str) -> HttpResponse:
    record = own(request, SheetStage, pk=pk)
    move(request, record, way)
    return redirect("sheet", record.sheet_id)
