"""A commission's estimate: as it stands, its issues, and the client's yes."""

from datetime import datetime

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.utils import timezone
from django.utils.http import content_disposition_header
from django.views.decorators.http import require_GET, require_http_methods, require_POST

from jobs.domain.folding import fold
from jobs.domain.layering import Refusal, standing_refusals
from jobs.models import Commission
from quotes.domain.estimates import (
    AllTheSame,
    Draft,
    accept_estimate,
    issue_estimate,
    take_back_acceptance,
    valid_until,
)
from quotes.domain.pricing import price_commission
from quotes.domain.promise import promise_for
from quotes.forms import AllTheSameForm
from quotes.models import Estimate
from quotes.papers import draft_estimate
from quotes.pictures import promise_curve
from studio.access import own
from studio.pages import UNPROCESSABLE, do_once, once_token
from studio.refusal import Refused

LONGEST_ISSUE = 6
LONGEST_TOTAL = 16


@require_GET
def estimate(request: HttpRequest, number: int) -> HttpResponse:
    record = own(request, Commission, number=number)
    return _estimate_page(request, record, standing_refusals(record))


def _estimate_page(
    request: HttpRequest,
    record: Commission,
    refusals: list[Refusal],
    form: AllTheSameForm | None = None,
    *,
    accept_form: AllTheSameForm | None = None,
    status: int = 200,
) -> HttpResponse:
    """Show the estimate; the reasons for issuing and for accepting are typed apart."""
    now = timezone.now()
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
        "refusals": refusals,
        "notices": fold((one.stage, one.finding) for one in refusals),
        "form": form or AllTheSameForm(record.studio),
        "accept_form": accept_form or _accept_form(record),
        "once": once_token(request),
    }
    return render(request, "quotes/estimate.html", page, status=status)


@require_http_methods(["GET", "POST"])
def issue(request: HttpRequest, number: int) -> HttpResponse:
    record, now = own(request, Commission, number=number), timezone.now()
    if request.method == "GET":
        return redirect("estimate", number)
    refusals = standing_refusals(record)
    form = AllTheSameForm(record.studio, data=request.POST)
    reasoned = form.is_valid()
    if refusals and not reasoned:
        return _estimate_page(request, record, refusals, form, status=UNPROCESSABLE)
    try:
        # The page is drawn before the transaction, so that no one waits for it.
        draft = draft_estimate(record, now=now)
        _, new = do_once(request, lambda: str(_issue(request, draft, form, at=now)))
    except Refused as refusal:
        if refusals and reasoned:
            if refusal.field == "reason":
                form.add_error("reason", refusal.sentence)
            else:
                messages.error(request, refusal.sentence)
            fresh = own(request, Commission, number=number)
            return _estimate_page(
                request, fresh, standing_refusals(fresh), form, status=UNPROCESSABLE
            )
        messages.error(request, refusal.sentence)
    else:
        said = "The estimate is issued. It stays as it was sent."
        messages.success(request, said if new else "It was issued already, once.")
    return redirect("estimate", number)


def _issue(request: HttpRequest, draft: Draft, form: AllTheSameForm, *, at: datetime) -> Estimate:
    seen = request.POST.get("seen_total", "")
    return issue_estimate(
        draft,
        at=at,
        seen_total=int(seen) if seen.isdecimal() and len(seen) < LONGEST_TOTAL else -1,
        all_the_same=_all_the_same(request, form),
    )


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


@require_http_methods(["GET", "POST"])
def accept(request: HttpRequest, number: int) -> HttpResponse:
    record = own(request, Commission, number=number)
    if request.method == "GET":
        return redirect("estimate", number)
    issues = record.estimates.defer("pdf")
    seen = request.POST.get("issue", "")
    if seen.isdecimal() and len(seen) < LONGEST_ISSUE:
        issues = issues.filter(issue=int(seen))
    accepted = issues.first()
    if accepted is None:
        messages.error(request, "Issue the estimate first: what is accepted must be written down.")
        return redirect("estimate", number)
    refusals = standing_refusals(record)
    form = _accept_form(record, data=request.POST)
    reasoned = form.is_valid()
    if refusals and not reasoned and not accepted.accepted_at:
        return _estimate_page(request, record, refusals, accept_form=form, status=UNPROCESSABLE)
    try:
        all_the_same = _all_the_same(request, form)
        accept_estimate(accepted, at=timezone.now(), all_the_same=all_the_same)
    except Refused as refusal:
        if refusals and reasoned and refusal.field == "reason":
            form.add_error("reason", refusal.sentence)
            refusals = standing_refusals(record)
            return _estimate_page(request, record, refusals, accept_form=form, status=UNPROCESSABLE)
        messages.error(request, refusal.sentence)
        return redirect("estimate", number)
    messages.success(request, "Accepted. The work is in the programme.")
    return redirect("commission", number)


def _accept_form(record: Commission, **data) -> AllTheSameForm:
    """Return the form of the reason for accepting; its ids differ from those for issuing."""
    return AllTheSameForm(record.studio, auto_id="accept_%s", **data)


def _all_the_same(request: HttpRequest, form: AllTheSameForm) -> AllTheSame | None:
    reason = form.cleaned_data.get("reason")
    return (
        AllTheSame(reason, request.user, request.POST.getlist("seen_refusal")) if reason else None
    )


@require_POST
def accept_undo(request: HttpRequest, number: int) -> HttpResponse:
    try:
        take_back_acceptance(own(request, Commission, number=number))
    except Refused as refusal:
        messages.error(request, refusal.sentence)
    else:
        messages.success(request, "The acceptance is undone. The work left the programme.")
    return redirect("estimate", number)
