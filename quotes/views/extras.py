"""Lines of the estimate in her own words: added, changed, removed."""

from django.http import HttpRequest, HttpResponse
from django.urls import reverse
from django.views.decorators.http import require_http_methods

from jobs.models import Commission
from quotes.domain.extras import keep_extra
from quotes.forms import ExtraForm
from quotes.models import ExtraLine
from studio.access import own
from studio.pages import counts_once, record_page, remove_page


@require_http_methods(["GET", "POST"])
def extra_new(request: HttpRequest, number: int) -> HttpResponse:
    return _page(request, ExtraLine(commission=own(request, Commission, number=number)))


@require_http_methods(["GET", "POST"])
def extra_edit(request: HttpRequest, pk: int) -> HttpResponse:
    return _page(request, own(request, ExtraLine, pk=pk))


@require_http_methods(["GET", "POST"])
@counts_once
def extra_remove(request: HttpRequest, pk: int) -> HttpResponse:
    record = own(request, ExtraLine, pk=pk)
    back = reverse("estimate", args=[record.commission.number])
    return remove_page(request, record, back=back, go=back)


def _page(request: HttpRequest, record: ExtraLine) -> HttpResponse:
    return record_page(
        request,
        ExtraForm,
        record,
        title="A line of your own",
        back=reverse("estimate", args=[record.commission.number]),
        keep=keep_extra,
    )
