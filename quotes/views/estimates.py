"""A commission's estimate: as it stands, its issues, and the client's yes."""

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.utils import timezone
from django.utils.http import content_disposition_header
from django.views.decorators.http import require_GET, require_POST

from jobs.models import Commission
from quotes.domain.estimates import (
    accept_estimate,
    issue_estimate,
    take_back_acceptance,
    valid_until,
)
from quotes.domain.pricing import price_commission
from quotes.domain.promise import promise_for
from quotes.models import Estimate
from quotes.papers import draft_estimate
from quotes.pictures import promise_curve
from studio.access import own
from studio.pages import do_once, once_token
from studio.refusal import Refused

LONGEST_ISSUE = 6


@require_GET
def estimate(request: HttpRequest, number: int) -> HttpResponse:
    record, now = own(request, Commission, number=number), timezone.now()
    pricing = price_commission(record)
    issues = list(record.estimates.defer("pdf"))
    accepted = next((row for row in issues if row.accepted_at), None)
    logged = bool(record.why_work_kept(panel__surface__piece__commission=record))
    gone = record.state == Commission.State.DELIVERED
    promise = promise_for(record, now=now) if pricing.panels and not gone else None
    page = {
        "commission": record,
        "pricing": pricing,
        "costing": pricing.costing,
        "promise": promise,
        "curve": promise_curve(promise, record.studio, record.wanted) if promise else None,
        "issues": issues,
        "accepted": accepted,
        "may_undo": accepted and record.in_hand and not logged,
        "changed": bool(issues) and issues[0].total != pricing.costing.total,
        "difference": pricing.costing.total - issues[0].total if issues else 0,
        "valid_until": valid_until(record, now=now),
        "once": once_token(request),
    }
    return render(request, "quotes/estimate.html", page)


@require_POST
def issue(request: HttpRequest, number: int) -> HttpResponse:
    record, now = own(request, Commission, number=number), timezone.now()
    seen = request.POST.get("seen_total", "")
    seen_total = int(seen) if seen.isdecimal() and len(seen) < 16 else -1
    try:
        # The page is drawn before the transaction, so that no one waits for it.
        draft = draft_estimate(record, now=now)
        _, new = do_once(
            request,
            lambda: str(issue_estimate(draft, at=now, seen_total=seen_total)),
        )
    except Refused as refusal:
        messages.error(request, refusal.sentence)
    else:
        said = "The estimate is issued. It stays as it was sent."
        messages.success(request, said if new else "It was issued already, once.")
    return redirect("estimate", number)


@require_GET
def issued(request: HttpRequest, number: int, issue: int) -> HttpResponse:
    record = own(request, Estimate, commission__number=number, issue=issue)
    page = {"estimate": record, "commission": record.commission, "lines": record.lines.all()}
    return render(request, "quotes/issued.html", page)


@require_GET
def issued_pdf(request: HttpRequest, number: int, issue: int) -> HttpResponse:
    record = own(request, Estimate, commission__number=number, issue=issue)
    answer = HttpResponse(bytes(record.pdf), content_type="application/pdf")
    name = f"estimate-{number}-{issue}.pdf"
    answer["Content-Disposition"] = content_disposition_header(
        as_attachment="download" in request.GET, filename=name
    )
    return answer


@require_POST
def accept(request: HttpRequest, number: int) -> HttpResponse:
    record = own(request, Commission, number=number)
    issues = record.estimates.defer("pdf")
    seen = request.POST.get("issue", "")
    if seen.isdecimal() and len(seen) < LONGEST_ISSUE:
        issues = issues.filter(issue=int(seen))
    accepted = issues.first()
    if accepted is None:
        messages.error(request, "Issue the estimate first: what is accepted must be written down.")
        return redirect("estimate", number)
    try:
        accept_estimate(accepted, at=timezone.now())
    except Refused as refusal:
        messages.error(request, refusal.sentence)
        return redirect("estimate", number)
    messages.success(request, "Accepted. The work is in the programme.")
    return redirect("commission", number)


@require_POST
def accept_undo(request: HttpRequest, number: int) -> HttpResponse:
    try:
        take_back_acceptance(own(request, Commission, number=number))
    except Refused as refusal:
        messages.error(request, refusal.sentence)
    else:
        messages.success(request, "The acceptance is undone. The work left the programme.")
    return redirect("estimate", number)
