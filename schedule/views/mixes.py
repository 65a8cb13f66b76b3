"""When a mix is used: the part of its page that the programme knows of."""

from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.utils import timezone
from django.views.decorators.http import require_GET

from jobs.models import Mix
from schedule.domain.mix_days import mix_batches
from schedule.domain.programme import fresh_programme
from studio.access import own


@require_GET
def mix_days(request: HttpRequest, pk: int) -> HttpResponse:
    record = own(request, Mix, pk=pk)
    now = timezone.now()
    fresh_programme(request.studio, now=now)
    page = {"mix": record, "batches": mix_batches(record, now=now)}
    template = "schedule/mix_days.html#days" if request.htmx else "schedule/mix_days.html"
    return render(request, template, page)
