"""The programme, drawn on the calendar, with what moved and what it is set against."""

from datetime import datetime

from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.utils import timezone
from django.views.decorators.http import require_GET

from jobs.domain.cautions import stage_cautions
from jobs.domain.layering import refusals_on
from jobs.models import Commission, Panel
from schedule.domain.comparison import compare, compared
from schedule.domain.finishes import finish_rows, known_likelihoods, likelihoods
from schedule.domain.fixing import pins_amiss, untold
from schedule.domain.minding import minding
from schedule.domain.moves import last_change
from schedule.domain.programme import fresh_programme, planned_sittings
from schedule.domain.reasons import reasons_for, why_no_day
from schedule.picture import programme_picture
from schedule.views.weaving import STRIP, strip_of
from studio.access import own

AGENDA = 40
"""Sittings told before the reader asks for all."""


@require_GET
def programme(request: HttpRequest) -> HttpResponse:
    page = programme_page(request, now=timezone.now())
    return render(request, "schedule/programme.html", page)


def programme_page(request: HttpRequest, *, now: datetime) -> dict:
    """Return all that the programme's page shows."""
    studio = request.studio
    made = fresh_programme(studio, now=now)
    foretold, amiss = known_likelihoods(made), pins_amiss(made, now=now)
    coming = planned_sittings(studio).filter(end__gt=now).select_related("stage__mix")
    agenda = list(coming.prefetch_related("stage__mix__parts"))
    shown = agenda if "all" in request.GET else agenda[:AGENDA]
    panels = {row.stage.panel_id for row in shown}
    refusals = refusals_on(
        Panel.objects.of(studio).for_bench().filter(pk__in=panels), studio=studio
    )
    refused = {one.stage.pk for one in refusals}
    return {
        "programme": made,
        "picture": programme_picture(studio, now=now),
        "finishes": finish_rows(studio, foretold),
        "foretold": foretold is not None,
        "agenda": [(row, stage_cautions(row.stage), row.stage_id in refused) for row in shown],
        "several": studio.people.filter(paints=True).count() > 1,
        "more": len(agenda) - len(shown),
        "minding": minding(agenda, studio=studio, now=now),
        "now": now,
        "amiss": amiss,
        "troubles": untold(made, amiss),
        "change": last_change(made),
        "compared": compared(made),
        "strip": strip_of(made, now=now),
        "any_commission": studio.commissions.exists(),
        "any_hours": studio.windows.exists(),
    }


@require_GET
def programme_compared(request: HttpRequest) -> HttpResponse:
    """The plan set against the same work unwoven: reckoned when a page asks."""
    made = fresh_programme(request.studio, now=timezone.now())
    page = {"compared": compare(made)}
    template = "schedule/compared.html#sentence" if request.htmx else "schedule/compared.html"
    return render(request, template, page)


@require_GET
def programme_finishes(request: HttpRequest) -> HttpResponse:
    """When each is ready, with how likely: played through when a page asks."""
    days = likelihoods(fresh_programme(request.studio, now=timezone.now()))
    page = {"finishes": finish_rows(request.studio, days), "foretold": True}
    template = "schedule/finishes.html#table" if request.htmx else "schedule/finishes.html"
    return render(request, template, page)


@require_GET
def programme_ready(request: HttpRequest, number: int) -> HttpResponse:
    """When one commission is ready: a part of its page, and a page by itself."""
    commission = own(request, Commission, number=number)
    days = likelihoods(fresh_programme(request.studio, now=timezone.now()))
    rows = finish_rows(request.studio, days)
    row = next((one for one in rows if one.finish.commission_id == commission.pk), None)
    template = "schedule/ready.html#section" if request.htmx else "schedule/ready.html"
    return render(request, template, {"commission": commission, "row": row})


@require_GET
def programme_why(request: HttpRequest, number: int) -> HttpResponse:
    """Why a commission is ready when it is."""
    commission = own(request, Commission, number=number)
    made = fresh_programme(request.studio, now=timezone.now())
    reasons = reasons_for(commission, made)
    page = {"commission": commission, "reasons": reasons, "instead": why_no_day(commission)}
    template = "schedule/why.html#chain" if request.htmx else "schedule/why.html"
    return render(request, template, page)


@require_GET
def programme_weaving(request: HttpRequest) -> HttpResponse:
    """The strip alone; and once the search it was asked after has ended, the whole programme."""
    now = timezone.now()
    if not request.htmx:
        return redirect("programme")
    strip = strip_of(fresh_programme(request.studio, now=now), now=now)
    if strip.alive or request.GET.get("was") != "alive":
        return render(request, STRIP, {"strip": strip})
    page = programme_page(request, now=now)
    answer = render(request, "schedule/programme.html#whole", page)
    answer["HX-Retarget"] = "#programme"
    answer["HX-Reswap"] = "outerHTML"
    return answer
