"""What stages of a panel and of a sheet have in common: they move up and down."""

from django.contrib import messages
from django.http import Http404, HttpRequest

from jobs.domain.methods import move_step
from jobs.models import SheetStage, Stage
from studio.refusal import Refused


def move(request: HttpRequest, step: Stage | SheetStage, way: str) -> None:
    """Move a stage one place `way` ("up" or "down"); a refusal becomes a message."""
    if way not in ("up", "down"):
        raise Http404
    try:
        move_step(step, up=way == "up")
    except Refused as refusal:
        messages.error(request, refusal.sentence)
