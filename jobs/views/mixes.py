"""Colour recipes: the list of them, the page of one, its form and its family."""

from django.contrib import messages
from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.urls import reverse
from django.views.decorators.http import require_GET, require_http_methods, require_POST

from jobs.domain.mix_story import mix_story
from jobs.domain.mixes import (
    WAYS,
    families,
    keep_mix,
    keep_sibling,
    keep_swatch_photo,
    next_head,
    remove_mix,
    remove_swatch_photo,
)
from jobs.forms import MixForm, MixPartSet, SwatchForm
from jobs.models import Mix
from jobs.views.photos import picture
from studio.access import own
from studio.pages import confirm_page, counts_once, do_once, form_page, remove_page
from studio.refusal import Refused


@require_GET
def mixes(request: HttpRequest) -> HttpResponse:
    rows = Mix.objects.of(request.studio).prefetch_related("parts", "stages__panel")
    return render(request, "jobs/mixes.html", {"families": families(rows)})


@require_GET
def mix(request: HttpRequest, pk: int) -> HttpResponse:
    record = own(request, Mix, pk=pk)
    return render(request, "jobs/mix.html", {"mix": record, "story": mix_story(record)})


class MixWithParts:
    """The form of a mix together with the rows of its parts: valid when both are."""

    def __init__(self, studio, mix: Mix, data=None, files=None) -> None:
        self.mix = MixForm(studio, instance=mix, data=data)
        self.parts = MixPartSet(instance=mix, data=data)
        self.fields = self.mix.fields

    def is_valid(self) -> bool:
        return all([self.mix.is_valid(), self.parts.is_valid()])

    def add_error(self, field: str | None, sentence: str) -> None:
        self.mix.add_error(field, sentence)

    def see_again(self) -> None:
        self.mix.see_again()


@require_http_methods(["GET", "POST"])
def mix_edit(request: HttpRequest, pk: int | None = None) -> HttpResponse:
    record = own(request, Mix, pk=pk) if pk is not None else Mix(studio=request.studio)
    title = record.name if pk is not None else "A colour mix"

    def make_form(**data) -> MixWithParts:
        return MixWithParts(request.studio, record, **data)

    def save(form: MixWithParts) -> str:
        kept = keep_mix(
            form.mix.save(commit=False), parts=form.parts.recipe, seen_version=form.mix.seen
        )
        messages.success(request, f"{kept.name} is saved.")
        return reverse("mix", args=[kept.pk])

    return form_page(
        request,
        make_form,
        save,
        title=title,
        back=reverse("mix", args=[pk]) if pk is not None else reverse("mixes"),
        template="jobs/mix_form.html",
        context={"mix": record},
    )


@require_http_methods(["GET", "POST"])
@counts_once
def mix_remove(request: HttpRequest, pk: int) -> HttpResponse:
    record = own(request, Mix, pk=pk)
    back = reverse("mix", args=[pk])
    head = next_head(record)
    stays = f"Its siblings stay together: ‘{head.name}’ heads the family then." if head else ""
    return remove_page(
        request, record, back=back, go=reverse("mixes"), stays=stays, remove=remove_mix
    )


@require_POST
def mix_sibling(request: HttpRequest, pk: int, way: str) -> HttpResponse:
    record = own(request, Mix, pk=pk)
    if way not in WAYS:
        raise Http404

    def keep() -> str:
        kept = keep_sibling(record, way=way)
        messages.success(request, f"{kept.name} is in your mixes now.")
        return reverse("mix", args=[kept.pk])

    try:
        went_to, _ = do_once(request, keep)
    except Refused as refusal:
        messages.error(request, refusal.sentence)
        went_to = reverse("mix", args=[pk])
    return redirect(went_to)


@require_GET
def mix_swatch(request: HttpRequest, pk: int) -> HttpResponse:
    return picture(own(request, Mix, pk=pk).swatch_photo)


@require_http_methods(["GET", "POST"])
def mix_swatch_new(request: HttpRequest, pk: int) -> HttpResponse:
    record = own(request, Mix, pk=pk)
    back = reverse("mix", args=[pk])

    def make_form(**data) -> SwatchForm:
        return SwatchForm(request.studio, **data)

    def save(form: SwatchForm) -> str:
        keep_swatch_photo(record, image=form.cleaned_data["image"])
        return back

    title = f"A photograph of {record.name}"
    return form_page(request, make_form, save, title=title, back=back)


@require_http_methods(["GET", "POST"])
@counts_once
def mix_swatch_remove(request: HttpRequest, pk: int) -> HttpResponse:
    record = own(request, Mix, pk=pk)
    if not record.swatch_photo:
        raise Http404
    return confirm_page(
        request,
        lambda: remove_swatch_photo(record),
        done="The photograph is removed.",
        back=reverse("mix", args=[pk]),
        question=f"Remove the photograph of {record.name}?",
        no="Keep it",
        yes="Remove it",
    )
