"""Colour recipes."""

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.urls import reverse
from django.views.decorators.http import require_GET, require_http_methods

from jobs.domain.mixes import keep_mix
from jobs.forms import MixForm, MixPartSet
from jobs.models import Mix
from jobs.paint.pigments import pigments
from studio.access import own
from studio.pages import counts_once, form_page, remove_page


@require_GET
def mixes(request: HttpRequest) -> HttpResponse:
    rows = Mix.objects.of(request.studio).prefetch_related("parts", "stages__panel")
    return render(request, "jobs/mixes.html", {"mixes": rows, "pigments": pigments()})


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
    record = (
        own(request, Mix, pk=pk) if pk is not None else Mix(studio=request.studio, colour="#c9a24b")
    )

    def make_form(**data) -> MixWithParts:
        return MixWithParts(request.studio, record, **data)

    def save(form: MixWithParts) -> str:
        kept = keep_mix(
            form.mix.save(commit=False), parts=form.parts.recipe, seen_version=form.mix.seen
        )
        messages.success(request, f"{kept.name} is saved.")
        return reverse("mixes")

    title = record.name if pk is not None else "A colour mix"
    context = {"mix": record}
    return form_page(
        request,
        make_form,
        save,
        title=title,
        back=reverse("mixes"),
        template="jobs/mix.html",
        context=context,
    )


@require_http_methods(["GET", "POST"])
@counts_once
def mix_remove(request: HttpRequest, pk: int) -> HttpResponse:
    record = own(request, Mix, pk=pk)
    back = reverse("mix-edit", args=[pk])
    return remove_page(request, record, back=back, go=reverse("mixes"))
