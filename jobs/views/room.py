"""What the warmth of the room means for the paints on hand, shown on the studio's page."""

from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.views.decorators.http import require_GET

from jobs.domain.supplies import too_cold_for


@require_GET
def room_warmth(request: HttpRequest) -> HttpResponse:
    template = "jobs/warmth.html#section" if request.htmx else "jobs/warmth.html"
    return render(request, template, {"cold": too_cold_for(request.studio)})
