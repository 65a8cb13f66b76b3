"""The log of a stage: sittings and touch tests typed after the fact."""

from collections.abc import Callable

from django.contrib import messages
from django.forms import model_to_dict
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.urls import reverse
from django.utils import timezone
from django.views.decorators.http import require_http_methods

from jobs.domain.work import (
    correct_touch_test,
    keep_sitting,
    record_touch_test,
    remove_sitting,
)
from jobs.forms import SittingForm, TouchTestForm
from jobs.models import Sitting, Stage, TouchTest
from studio.access import own
from studio.pages import UNPROCESSABLE, form_page, record_page, remove_page
from studio.refusal import Refused


@require_http_methods(["GET", "POST"])
def sitting_edit(
    request: HttpRequest, pk: int | None = None, stage: int | None = None
) -> HttpResponse:
    if pk is not None:
        record = own(request, Sitting, pk=pk)
    else:
        record = Sitting(stage=own(request, Stage, pk=stage), person=request.user)
    return record_page(
        request,
        SittingForm,
        record,
        title=f"A sitting on {record.stage.name.lower()}",
        back=reverse("panel", args=[record.stage.panel_id]),
        keep=lambda sitting, seen_version: keep_sitting(
            sitting, now=timezone.now(), seen_version=seen_version
        ),
    )


@require_http_methods(["GET", "POST"])
def sitting_remove(request: HttpRequest, pk: int) -> HttpResponse:
    record = own(request, Sitting, pk=pk)
    back = reverse("panel", args=[record.stage.panel_id])
    page = {"record": record, "back": back}
    if request.method == "POST":
        try:
            remove_sitting(record)
        except Refused as refusal:
            page["refusal"] = refusal.sentence
            return render(request, "remove.html", page, status=UNPROCESSABLE)
        messages.success(request, "The sitting is removed.")
        return redirect(back)
    return render(request, "remove.html", page)


@require_http_methods(["GET", "POST"])
def touch_test_new(request: HttpRequest, stage: int) -> HttpResponse:
    record = own(request, Stage, pk=stage)
    back = reverse("panel", args=[record.panel_id])

    def save(form: TouchTestForm) -> str:
        record_touch_test(record, by=request.user, **form.cleaned_data)
        messages.success(request, "The touch test is recorded.")
        return back

    initial = {"coat": max(1, record.coats_done), "at": timezone.localtime()}
    return _touch_test_page(request, record, initial, save)


@require_http_methods(["GET", "POST"])
def touch_test_edit(request: HttpRequest, pk: int) -> HttpResponse:
    record = own(request, TouchTest, pk=pk)

    def save(form: TouchTestForm) -> str:
        correct_touch_test(record, **form.cleaned_data)
        messages.success(request, "The touch test is corrected.")
        return reverse("panel", args=[record.stage.panel_id])

    return _touch_test_page(request, record.stage, model_to_dict(record), save)


def _touch_test_page(
    request: HttpRequest, stage: Stage, initial: dict, save: Callable[[TouchTestForm], str]
) -> HttpResponse:
    def make_form(**data) -> TouchTestForm:
        return TouchTestForm(request.studio, initial=initial, **data)

    title = f"A touch test on {stage.name.lower()}"
    back = reverse("panel", args=[stage.panel_id])
    return form_page(request, make_form, save, title=title, back=back)


@require_http_methods(["GET", "POST"])
def touch_test_remove(request: HttpRequest, pk: int) -> HttpResponse:
    record = own(request, TouchTest, pk=pk)
    back = reverse("panel", args=[record.stage.panel_id])
    return remove_page(request, record, back=back, go=back)
