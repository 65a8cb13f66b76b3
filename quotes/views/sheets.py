"""The papers that go with the work: the bench sheet, and the care sheet for the client."""

from collections.abc import Callable
from datetime import datetime

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect
from django.utils import timezone
from django.utils.http import content_disposition_header
from django.views.decorators.http import require_GET

from jobs.models import Commission
from quotes import bench_sheets, care_sheets
from quotes.pdf.missing import MissingLettersError
from studio.access import own
from studio.refusal import Refused


@require_GET
def bench_sheet(request: HttpRequest, number: int) -> HttpResponse:
    return _paper(request, number, bench_sheets.bench_sheet, "bench-sheet")


@require_GET
def care_sheet(request: HttpRequest, number: int) -> HttpResponse:
    return _paper(request, number, care_sheets.care_sheet, "care-sheet")


def _paper(
    request: HttpRequest, number: int, made: Callable[..., bytes], name: str
) -> HttpResponse:
    record = own(request, Commission, number=number)
    now: datetime = timezone.now()
    try:
        pdf = made(record, now=now)
    except (Refused, MissingLettersError) as refusal:
        messages.error(request, str(refusal))
        return redirect("commission", number)
    answer = HttpResponse(pdf, content_type="application/pdf")
    answer["Content-Disposition"] = content_disposition_header(
        as_attachment="download" in request.GET, filename=f"{name}-{number}.pdf"
    )
    return answer
