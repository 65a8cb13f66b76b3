"""Commissions: the list by state, and one commission's page."""

from collections.abc import Callable

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.urls import reverse
from django.utils import timezone
from django.views.decorators.http import require_GET, require_http_methods, require_POST

from jobs.domain.commissions import (
    decline_commission,
    hand_over,
    open_commission,
    reopen_commission,
)
from jobs.forms import CommissionForm
from jobs.models import Client, Commission, Piece
from jobs.pictures import elevation_of
from studio.access import own
from studio.pages import confirm_page, counts_once, record_page, remove_page
from studio.refusal import Refused

LONGEST_KEY = 19


@require_GET
def commissions(request: HttpRequest) -> HttpResponse:
    rows = list(Commission.objects.of(request.studio).select_related("client"))
    states = Commission.State
    groups = [
        ("Asked and priced", [row for row in rows if row.state in ("enquiry", "estimated")]),
        ("In hand", [row for row in rows if row.in_hand]),
        (
            "Closed",
            [row for row in rows if row.state in (states.DELIVERED, states.DECLINED)],
        ),
    ]
    return render(request, "jobs/commissions.html", {"groups": groups, "any": bool(rows)})


@require_GET
def commission(request: HttpRequest, number: int) -> HttpResponse:
    record = own(request, Commission, number=number)
    pieces = Piece.objects.of(request.studio).filter(commission=record)
    pieces = list(
        pieces.prefetch_related("surfaces__panels__stages__sittings", "surfaces__panels__photos")
    )
    surfaces = [surface for piece in pieces for surface in piece.surfaces.all()]
    panels = [panel for surface in surfaces for panel in surface.panels.all()]
    page = {
        "commission": record,
        "pieces": [(piece, elevation_of(piece)) for piece in pieces],
        "panels": panels,
        "bare": [panel for panel in panels if not panel.stages.all()],
        "undecided": [panel for panel in panels if not panel.ground_decided],
    }
    return render(request, "jobs/commission.html", page)


@require_http_methods(["GET", "POST"])
def commission_edit(request: HttpRequest, number: int | None = None) -> HttpResponse:
    if number is not None:
        record = own(request, Commission, number=number)
        back = reverse("commission", args=[number])
    else:
        record = Commission(studio=request.studio)
        asked = request.GET.get("client", "")
        if asked.isdecimal() and len(asked) < LONGEST_KEY:
            record.client = own(request, Client, pk=int(asked))
        back = reverse("commissions")
    if number is None and not request.studio.clients.exists():
        messages.info(request, "First write down who asks: the client.")
        return redirect(f"{reverse('client-new')}?enquiry")
    return record_page(
        request,
        CommissionForm,
        record,
        title="A new enquiry" if number is None else "The commission",
        back=back,
        go=lambda kept: reverse("commission", args=[kept.number]),
        keep=open_commission,
    )


@require_http_methods(["GET", "POST"])
@counts_once
def commission_remove(request: HttpRequest, number: int) -> HttpResponse:
    record = own(request, Commission, number=number)
    return remove_page(
        request,
        record,
        back=reverse("commission", args=[number]),
        go=reverse("commissions"),
        loses="its pieces, surfaces, panels and their methods",
    )


def _do(request: HttpRequest, number: int, verb: Callable, done: str, **more) -> HttpResponse:
    record = own(request, Commission, number=number)
    try:
        verb(record, **more)
    except Refused as refusal:
        messages.error(request, refusal.sentence)
    else:
        messages.success(request, done)
    return redirect("commission", number)


@require_POST
def commission_decline(request: HttpRequest, number: int) -> HttpResponse:
    if own(request, Commission, number=number).in_hand:
        # Pressed on a page from before the acceptance: agreed work is not called off unasked.
        return redirect("commission-call-off", number)
    return _do(request, number, decline_commission, "It is put aside as declined.")


@require_http_methods(["GET", "POST"])
def commission_call_off(request: HttpRequest, number: int) -> HttpResponse:
    record = own(request, Commission, number=number)
    return confirm_page(
        request,
        lambda: decline_commission(record),
        done="It is called off. Its log is kept, and it can be taken up again.",
        back=reverse("commission", args=[number]),
        question=f"Call off ‘{record.title}’?",
        consequences=[
            "Its work leaves the programme and the bench, and its reminders are withdrawn.",
            "What was issued and logged is kept. You can take it up again where it stood.",
        ],
        no="Go on with it",
        yes="Call it off",
    )


@require_POST
def commission_reopen(request: HttpRequest, number: int) -> HttpResponse:
    return _do(request, number, reopen_commission, "It is taken up again.")


@require_POST
def commission_hand_over(request: HttpRequest, number: int) -> HttpResponse:
    return _do(request, number, hand_over, "It is handed over. Well done.", at=timezone.now())
