"""The programme, drawn on the calendar."""

from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.utils import timezone
from django.views.decorators.http import require_GET

from jobs.domain.cautions import stage_cautions
from jobs.domain.layering import refusals_on
from jobs.models import Panel
from schedule.domain.minding import minding
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
    coming = planned_sittings(studio).filter(end__gt=now).select_related("stage__mix")
    agenda = list(coming.prefetch_related("stage__mix__parts"))
    shown = agenda if "all" in request.GET else agenda[:AGENDA]
    panels = {row.stage.panel_id for row in shown}
    refusals = refusals_on(
        Panel.objects.of(studio).for_bench().filter(pk__in=panels), studio=studio
    )
    refused = {one.stage.pk for one in refusals}
    page = {
        "programme": made,
        "picture": programme_picture(studio, now=now),
        "finishes": finishes,
        "agenda": [(row, stage_cautions(row.stage), row.stage_id in refused) for row in shown],
        "more": len(agenda) - len(shown),
        "minding": minding(agenda, studio=studio, now=now),
        "now": now,
        "any_commission": studio.commissions.exists(),
        "any_hours": studio.windows.exists(),
    }
    return render(request, "schedule/programme.html", page)
