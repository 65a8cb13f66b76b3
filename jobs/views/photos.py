"""Photographs of a panel."""

from django.db.models.fields.files import FieldFile
from django.http import FileResponse, Http404, HttpRequest, HttpResponse
from django.urls import reverse
from django.utils import timezone
from django.views.decorators.http import require_GET, require_http_methods

from jobs.domain.photos import add_photo
from jobs.forms import CaptionForm, PhotoForm
from jobs.models import Panel, Photo
from studio.access import own
from studio.pages import counts_once, form_page, record_page, remove_page


@require_http_methods(["GET", "POST"])
def photo_new(request: HttpRequest, panel: int) -> HttpResponse:
    record = own(request, Panel, pk=panel)
    back = reverse("panel", args=[panel]) + "#photos"

    def make_form(**data) -> PhotoForm:
        return PhotoForm(request.studio, **data)

    def save(form: PhotoForm) -> str:
        add_photo(
            record,
            image=form.cleaned_data["image"],
            caption=form.cleaned_data["caption"],
            at=timezone.now(),
        )
        return back

    title = f"A photograph of {record.name}"
    return form_page(request, make_form, save, title=title, back=back)


@require_GET
def photo(request: HttpRequest, pk: int) -> HttpResponse:
    return picture(own(request, Photo, pk=pk).image)


def picture(kept: FieldFile) -> FileResponse:
    """Return a picture that was redrawn; call it only with one that she may see."""
    try:
        file = kept.open("rb")
    except (FileNotFoundError, ValueError) as error:
        raise Http404 from error
    return FileResponse(file, content_type="image/jpeg")


@require_http_methods(["GET", "POST"])
def photo_edit(request: HttpRequest, pk: int) -> HttpResponse:
    record = own(request, Photo, pk=pk)
    back = reverse("panel", args=[record.panel_id]) + "#photos"
    return record_page(request, CaptionForm, record, title="The photograph's words", back=back)


@require_http_methods(["GET", "POST"])
@counts_once
def photo_remove(request: HttpRequest, pk: int) -> HttpResponse:
    record = own(request, Photo, pk=pk)
    back = reverse("panel", args=[record.panel_id]) + "#photos"
    return remove_page(request, record, back=back, go=back)
