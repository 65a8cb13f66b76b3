"""Lines of the estimate set by hand."""

from django.contrib import messages
from django.http import Http404, HttpRequest, HttpResponse
from django.urls import reverse
from django.views.decorators.http import require_http_methods, require_POST

from jobs.models import Commission
from quotes.domain.estimates import set_line
from quotes.domain.pricing import EXTRA, price_commission
from quotes.forms import LineForm
from quotes.models import LineOverride
from studio.access import own
from studio.domain.records import remove_record
from studio.pages import counts_once, do_and_go, form_page


@require_http_methods(["GET", "POST"])
def line_edit(request: HttpRequest, number: int, key: str) -> HttpResponse:
    commission = own(request, Commission, number=number)
    line = price_commission(commission).line(key)
    if line is None or key.startswith(EXTRA):
        raise Http404
    record = LineOverride.objects.of(request.studio).filter(commission=commission, key=key).first()
    record = record or LineOverride(commission=commission, key=key)
    back = reverse("estimate", args=[number])

    def make_form(**data) -> LineForm:
        form = LineForm(request.studio, instance=record, **data)
        if line.minutes is None:
            del form.fields["minutes"]
            form.fields["amount"].help_text = "What this line shall cost."
        return form

    def save(form: LineForm) -> str:
        set_line(
            commission,
            key,
            minutes=form.cleaned_data.get("minutes"),
            amount=form.cleaned_data["amount"],
            reason=form.cleaned_data["reason"],
            seen_version=form.seen,
        )
        messages.success(request, "The line is set by hand.")
        return back

    return form_page(
        request,
        make_form,
        save,
        title=line.text,
        back=back,
        template="quotes/line.html",
        context={"line": line, "commission": commission, "override": record},
    )


@require_POST
@counts_once
def line_restore(request: HttpRequest, number: int, key: str) -> HttpResponse:
    commission = own(request, Commission, number=number)
    record = own(request, LineOverride, commission=commission, key=key)
    return do_and_go(
        request,
        lambda: remove_record(record),
        done="The line is as reckoned again.",
        go=reverse("estimate", args=[number]),
    )
