"""Who asks for work."""

from django.db.models import Count
from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.urls import reverse
from django.views.decorators.http import require_GET, require_http_methods

from jobs.forms import ClientForm
from jobs.models import Client
from studio.access import own
from studio.pages import counts_once, record_page, remove_page


@require_GET
def clients(request: HttpRequest) -> HttpResponse:
    rows = Client.objects.of(request.studio).annotate(asked=Count("commissions"))
    return render(request, "jobs/clients.html", {"clients": rows})


@require_http_methods(["GET", "POST"])
def client_edit(request: HttpRequest, pk: int | None = None) -> HttpResponse:
    record = own(request, Client, pk=pk) if pk is not None else Client(studio=request.studio)
    commissions = record.commissions.all() if pk is not None else []
    return record_page(
        request,
        ClientForm,
        record,
        title=record.name if pk is not None else "A new client",
        back=reverse("clients"),
        go=lambda kept: _after(request, kept, new=pk is None),
        template="jobs/client.html",
        context={"client": record, "commissions": commissions},
    )


@require_http_methods(["GET", "POST"])
@counts_once
def client_remove(request: HttpRequest, pk: int) -> HttpResponse:
    record = own(request, Client, pk=pk)
    back = reverse("client-edit", args=[pk])
    return remove_page(request, record, back=back, go=reverse("clients"))


def _after(request: HttpRequest, kept: Client, *, new: bool) -> str:
    """Return where to go on: to the enquiry she came for, or back to the list."""
    if new and "enquiry" in request.GET:
        return f"{reverse('commission-new')}?client={kept.pk}"
    return reverse("clients")
