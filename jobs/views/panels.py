"""One panel: its cross-section, its method, its log."""

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.urls import reverse
from django.utils import timezone
from django.views.decorators.http import require_GET, require_http_methods, require_POST

from jobs.domain.methods import give_method
from jobs.domain.places import keep_panel, measure_in, mirror_panel
from jobs.domain.story import panel_story
from jobs.forms import MethodChoiceForm, MirrorForm, PanelForm
from jobs.layout.construction import construction, steps
from jobs.models import Panel, Surface
from jobs.pictures import section_of
from studio.access import own
from studio.pages import counts_once, form_page, remove_page
from studio.refusal import Refused


@require_GET
def panel(request: HttpRequest, pk: int) -> HttpResponse:
    own(request, Panel, pk=pk)
    record = Panel.objects.of(request.studio).for_bench().get(pk=pk)
    story = panel_story(record, now=timezone.now())
    page = {
        "panel": record,
        "story": story,
        "section": section_of(record, drying=bool(story.gate), large=True),
        "method_form": MethodChoiceForm(request.studio),
        **_laying_out(record),
    }
    return render(request, "jobs/panel.html", page)


def _laying_out(panel: Panel) -> dict[str, object]:
    """Return the lay-out drawn to scale and its steps in words, where its method asks for it."""
    if not any(stage.sort.lays_out for stage in panel.stages.all()):
        return {}
    measure = measure_in(panel.owner)

    def rounded(tenths: float) -> str:
        return measure(round(tenths))

    return {
        "construction": construction(panel.shape, unit=rounded),
        "construction_steps": [step.words(rounded) for step in steps(panel.width, panel.height)],
    }


@require_http_methods(["GET", "POST"])
def panel_edit(
    request: HttpRequest, pk: int | None = None, surface: int | None = None
) -> HttpResponse:
    if pk is not None:
        record, back = own(request, Panel, pk=pk), reverse("panel", args=[pk])
    else:
        record = Panel(surface=own(request, Surface, pk=surface))
        back = reverse("piece", args=[record.surface.piece_id])

    def make_form(**data) -> PanelForm:
        return PanelForm(request.studio, instance=record, **data)

    def save(form: PanelForm) -> str:
        kept = keep_panel(
            form.save(commit=False),
            seen_version=form.seen,
            sheet=form.cleaned_data.get("sheet"),
        )
        messages.success(request, f"{kept.name} is saved.")
        return reverse("panel", args=[kept.pk])

    return form_page(
        request,
        make_form,
        save,
        title=record.name if pk is not None else "A panel",
        back=back,
        template="jobs/panel_form.html",
        context={"panel": record, "surface": record.surface},
    )


@require_http_methods(["GET", "POST"])
@counts_once
def panel_remove(request: HttpRequest, pk: int) -> HttpResponse:
    record = own(request, Panel, pk=pk)
    return remove_page(
        request,
        record,
        back=reverse("panel", args=[pk]),
        go=reverse("piece", args=[record.surface.piece_id]),
        loses="its method and photographs",
    )


@require_http_methods(["GET", "POST"])
def panel_mirror(request: HttpRequest, pk: int) -> HttpResponse:
    record = own(request, Panel, pk=pk)
    back = reverse("panel", args=[pk])

    def make_form(**data) -> MirrorForm:
        initial = {"name": f"{record.name}, mirrored"[:80], "surface": record.surface}
        return MirrorForm(request.studio, piece=record.surface.piece, initial=initial, **data)

    def save(form: MirrorForm) -> str:
        twin = mirror_panel(record, **form.cleaned_data)
        messages.success(request, f"{twin.name} mirrors {record.name}.")
        return reverse("panel", args=[twin.pk])

    return form_page(
        request, make_form, save, title=f"The mirror image of {record.name}", back=back
    )


@require_POST
def panel_method(request: HttpRequest, pk: int) -> HttpResponse:
    record = own(request, Panel, pk=pk)
    form = MethodChoiceForm(request.studio, data=request.POST)
    if not form.is_valid():
        messages.error(request, "Choose one of your method sheets.")
    else:
        try:
            give_method(record, sheet=form.cleaned_data["sheet"])
        except Refused as refusal:
            messages.error(request, refusal.sentence)
    return redirect("panel", pk)
