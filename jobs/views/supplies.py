"""What the studio buys, and what it costs."""

from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.urls import reverse
from django.utils import timezone
from django.views.decorators.http import require_GET, require_http_methods

from jobs.domain.paint_tables import beside_table
from jobs.domain.supplies import keep_supply
from jobs.forms import SupplyForm
from jobs.models import Supply
from studio.access import own
from studio.formats import local
from studio.pages import record_page


@require_GET
def supplies(request: HttpRequest) -> HttpResponse:
    supplies = Supply.objects.of(request.studio)
    page = {
        "supplies": beside_table(supplies, request.studio),
        "today": local(timezone.now(), request.studio).date(),
    }
    return render(request, "jobs/supplies.html", page)


@require_http_methods(["GET", "POST"])
def supply_edit(request: HttpRequest, pk: int) -> HttpResponse:
    record = own(request, Supply, pk=pk)
    return record_page(
        request,
        SupplyForm,
        record,
        title=record.name,
        back=reverse("supplies"),
        keep=keep_supply,
    )
