"""The log of a stage: sittings and touch tests typed after the fact."""

from collections.abc import Callable

from django.http import HttpRequest, HttpResponse
from django.urls import reverse
from django.utils import timezone
from django.views.decorators.http import require_http_methods

from jobs.domain.work import (
    correct_touch_test,
    keep_sitting,
    record_touch_test,
    remove_sitting,
    still_open,
    touch_odd,
)
from jobs.forms import SittingForm, TouchTestForm
from jobs.models import Sitting, Stage, TouchTest
from studio.access import own
from studio.pages import counts_once, record_page, remove_page


@require_http_methods(["GET", "POST"])
def sitting_edit(
    request: HttpRequest, pk: int | None = None, stage: int | None = None
) -> HttpResponse:
    if pk is not None:
        record = own(request, Sitting, pk=pk)
    else:
        stage = own(request, Stage, pk=stage)
        # Whoever writes a sitting down afterwards has mostly finished what she sat down for.
        record = Sitting(stage=stage, person=request.user, finishes_coat=not stage.done)
    return record_page(
        request,
        SittingForm,
        record,
        title=f"A sitting on {record.stage.name.lower()}",
        back=reverse("panel", args=[record.stage.panel_id]),
        keep=lambda sitting, seen_version: keep_sitting(
            sitting, now=timezone.now(), seen_version=seen_version
        ),
        more_said=still_open,
    )


@require_http_methods(["GET", "POST"])
@counts_once
def sitting_remove(request: HttpRequest, pk: int) -> HttpResponse:
    record = own(request, Sitting, pk=pk)
    back = reverse("panel", args=[record.stage.panel_id])
    return remove_page(request, record, back=back, go=back, remove=remove_sitting)


@require_http_methods(["GET", "POST"])
def touch_test_new(request: HttpRequest, stage: int) -> HttpResponse:
    record = own(request, Stage, pk=stage)
    coat = max(1, record.coats_done)
    test = TouchTest(stage=record, by=request.user, coat=coat, at=timezone.localtime())

    def keep(typed: TouchTest, seen_version: int | None) -> TouchTest:
        return record_touch_test(
            record,
            coat=typed.coat,
            result=typed.result,
            by=typed.by,
            at=typed.at,
            note=typed.note,
        )

    return _touch_test_page(request, test, keep)


@require_http_methods(["GET", "POST"])
def touch_test_edit(request: HttpRequest, pk: int) -> HttpResponse:
    return _touch_test_page(request, own(request, TouchTest, pk=pk), correct_touch_test)


def _touch_test_page(
    request: HttpRequest, test: TouchTest, keep: Callable[..., TouchTest]
) -> HttpResponse:
    return record_page(
        request,
        TouchTestForm,
        test,
        title=f"A touch test on {test.stage.name.lower()}",
        back=reverse("panel", args=[test.stage.panel_id]),
        keep=keep,
        more_said=lambda kept: " ".join(touch_odd(kept)),
    )


@require_http_methods(["GET", "POST"])
@counts_once
def touch_test_remove(request: HttpRequest, pk: int) -> HttpResponse:
    record = own(request, TouchTest, pk=pk)
    back = reverse("panel", args=[record.stage.panel_id])
    return remove_page(request, record, back=back, go=back)
