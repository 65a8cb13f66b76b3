"""What is known of paint, with its sources, and what the studio says otherwise."""

from django.contrib import messages
from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import render
from django.urls import reverse
from django.utils.text import slugify
from django.views.decorators.http import require_GET, require_http_methods

from jobs.domain.own_values import keep_own_row, own_columns, put_back
from jobs.domain.paint_tables import Row, all_tables, row_of, rows
from jobs.forms import own_row_form
from jobs.paint.sources import sourced, tally
from jobs.paint.words import rows_of, tables
from studio.pages import confirm_page, form_page

LONGEST_SEARCH = 100


@require_GET
def paint(request: HttpRequest) -> HttpResponse:
    shown = all_tables(request.studio)
    page = {
        "tables": [each for each in shown if not each.words.apart],
        "apart": [each for each in shown if each.words.apart],
        "tally": tally(sourced()),
    }
    return render(request, "jobs/paint.html", page)


@require_GET
def paint_table(request: HttpRequest, table: str) -> HttpResponse:
    if table not in tables():
        raise Http404
    wanted = request.GET.get("q", "").strip()[:LONGEST_SEARCH]
    page = {
        "table": tables()[table],
        "rows": rows(request.studio, table, wanted=wanted),
        "tally": tally(rows_of(table)),
        "wanted": wanted,
    }
    return render(request, "jobs/paint_table.html", page)


@require_http_methods(["GET", "POST"])
def own_values_edit(request: HttpRequest, table: str, row: str) -> HttpResponse:
    shown = _own_place(request, table, row)
    place = {"table": table, "row": row}
    says = {each.fact.key: each.fact.text for each in shown.said}
    back = _row_address(table, row)

    def make_form(**data):
        return own_row_form(table)(request.studio, **place, says=says, **data)

    def save(form) -> str:
        keep_own_row(
            request.studio,
            **place,
            values=form.values,
            reason=form.cleaned_data["reason"],
            seen=form.cleaned_data["seen"],
        )
        whose = "Your own values count" if any(form.values.values()) else "The table counts"
        messages.success(request, f"{shown.told.name}: {whose} from now on.")
        return back

    return form_page(
        request,
        make_form,
        save,
        title=f"{shown.told.name}, in your studio",
        back=back,
        template="jobs/own_values.html",
        context={"row": shown, "table": tables()[table]},
    )


@require_http_methods(["GET", "POST"])
def own_values_remove(request: HttpRequest, table: str, row: str) -> HttpResponse:
    shown = _own_place(request, table, row)
    own = own_columns(table, row)
    hers = [
        f"{each.fact.label.lower()} {each.yours}"
        for each in shown.said
        if each.yours and each.fact.key in own
    ]
    return confirm_page(
        request,
        lambda: put_back(request.studio, table=table, row=row),
        done=f"{shown.told.name}: the table counts again.",
        back=_row_address(table, row),
        question=f"Put the table’s values of {shown.told.name.lower()} back?",
        consequences=[
            "The programme and the bench reckon with the table again.",
            *([f"What you wrote down goes: {', '.join(hers)}."] if hers else []),
        ],
        no="Keep mine",
        yes="Put the table’s back",
    )


def _own_place(request: HttpRequest, table: str, row: str) -> Row:
    """Return a row that a studio may have its own values of, or answer 404."""
    found = row_of(request.studio, table, row) if own_columns(table, row) else None
    if found is None:
        raise Http404
    return found


def _row_address(table: str, row: str) -> str:
    return f"{reverse('paint-table', args=[table])}#row-{slugify(row)}"
