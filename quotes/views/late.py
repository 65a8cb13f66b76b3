"""What deciding the ground colour late costs: a part of the panel's page, and a page by itself."""

from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.views.decorators.http import require_GET

from jobs.domain.grounds import ground_colours
from jobs.models import Panel
from quotes.domain.late import deciding_late
from quotes.forms import LateForm
from studio.access import own
from studio.pages import UNPROCESSABLE


@require_GET
def panel_late(request: HttpRequest, pk: int) -> HttpResponse:
    own(request, Panel, pk=pk)
    panel = Panel.objects.of(request.studio).for_bench().get(pk=pk)
    form = LateForm(request.studio, colours=ground_colours(panel), data=request.GET or None)
    asked = {}
    if form.is_valid():
        asked = {"tried": form.tried, "over": form.supposed, "film_um": form.cleaned_data["film"]}
    late = deciding_late(panel, **asked)
    page = {"panel": panel, "form": form, "late": late, "supposed": asked.get("over")}
    template = "quotes/late.html#section" if request.htmx else "quotes/late.html"
    # A fragment that answers otherwise than 200 is not put into the page.
    status = UNPROCESSABLE if form.errors and not request.htmx else 200
    return render(request, template, page, status=status)
