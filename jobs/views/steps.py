"""What stages of a panel and of a sheet have in common: their form, and moving up and down."""

from django.contrib import messages
from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import render

from jobs.domain.layering import findings_as_typed
from jobs.domain.methods import keep_step, move_step
from jobs.forms import StepForm
from jobs.models import SheetStage, Stage
from studio.pages import record_page
from studio.refusal import Refused


def move(request: HttpRequest, step: Stage | SheetStage, way: str) -> None:
    """Move a stage one place `way` ("up" or "down"); a refusal becomes a message."""
    if way not in ("up", "down"):
        raise Http404
    try:
        move_step(step, up=way == "up")
    except Refused as refusal:
        messages.error(request, refusal.sentence)


def step_page(
    request: HttpRequest,
    form_class: type[StepForm],
    step: Stage | SheetStage,
    *,
    back: str,
    check: str,
    remove: str,
) -> HttpResponse:
    """Show the form of a stage.

    `check` is where it is judged as it is typed, `remove` where it can be taken out, "" for a
    new one.
    """
    return record_page(
        request,
        form_class,
        step,
        title=step.name if step.pk else "A stage",
        back=back,
        keep=keep_step,
        template="jobs/step.html",
        context={"check": check, "remove": remove},
    )


def check_page(
    request: HttpRequest, form_class: type[StepForm], step: Stage | SheetStage
) -> HttpResponse:
    """Say what the layering rules would hold against the method with a stage as it is typed.

    The fragment brings along the media that go into the paint now chosen. Nothing is saved.
    """
    form = form_class(request.studio, instance=step, data=request.POST)
    found = None
    if form.is_valid():
        found = findings_as_typed(form.save(commit=False), studio=request.studio)
    form.fields["medium"].widget.attrs["hx-swap-oob"] = "true"
    return render(request, "jobs/step_check.html", {"form": form, "step": step, "found": found})
