"""What stages of a panel and of a sheet have in common: their form, and moving up and down."""

from django.contrib import messages
from django.http import Http404, HttpRequest, HttpResponse

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
    remove: str,
) -> HttpResponse:
    """Show the form of a stage; `remove` is where it can be taken out, "" for a new one."""
    return record_page(
        request,
        form_class,
        step,
        title=step.name if step.pk else "A stage",
        back=back,
        keep=keep_step,
        template="jobs/step.html",
        context={"remove": remove},
    )
