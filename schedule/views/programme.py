"""The programme, drawn on the calendar."""

from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.utils import timezone
from django.views.decorators.http import require_GET

from schedule.domain.programme import fresh_programme, planned_sittings
from schedule.models import PlannedFinish
from schedule.picture import programme_picture

AGENDA = 40
"""Sittings told before the reader asks for all."""


@require_GET
def programme(request: HttpRequest) -> HttpResponse:
    now, studio = timezone.now(), request.studio
    made = fresh_programme(studio, now=now)
    finishes = PlannedFinish.objects.of(studio).select_related("commission__client")
    agenda = list(planned_sittings(studio).filter(end__gt=now))
    page = {
        "programme": made,
        "picture": programme_picture(studio, now=now),
        "finishes": finishes,
        "agenda": agenda if "all" in request.GET else agenda[:AGENDA],
        "more": 0 if "all" in request.GET else max(0, len(agenda) - AGENDA),
        "now": now,
        "any_commission": studio.commissions.exists(),
        "any_hours": studio.windows.exists(),
    }
    return render(request, "schedule/programme.html", page)
