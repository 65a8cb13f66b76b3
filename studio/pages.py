"""The pages every record has: a form that saves once, a removal or a verb that asks first."""

from collections.abc import Callable, Mapping
from hashlib import sha256
from uuid import UUID, uuid4

from django.contrib import messages
from django.db import models, transaction
from django.forms import BaseForm
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.utils.text import capfirst

from studio.domain.records import hold_studio, keep_record, remove_record
from studio.models import Once, Record
from studio.refusal import Refused, Stale

UNPROCESSABLE = 422
CSRF = "csrfmiddlewaretoken"


def once_token(request: HttpRequest) -> UUID:
    """Return the form's own token, or a new one where none or nonsense was sent."""
    try:
        return UUID(request.POST["once"])
    except (KeyError, ValueError):
        return uuid4()


def do_once(request: HttpRequest, act: Callable[[], str]) -> tuple[str, bool]:
    """Run `act` unless this very answer was given already; return what it said, and if it ran.

    The token, a digest of what was sent and the act are written in one transaction, so a double
    click, a reload or a repeated request finds the first answer, and a form gone back to and
    changed is another. Refused leaves nothing behind.
    """
    with transaction.atomic():
        hold_studio(request.studio)
        answer, new = Once.objects.get_or_create(
            studio=request.studio, token=once_token(request), digest=_digest(request)
        )
        if new:
            answer.went_to = act()
            answer.save(update_fields=["went_to"])
    return answer.went_to, new


def _digest(request: HttpRequest) -> str:
    sent = [(name, values) for name, values in sorted(request.POST.lists()) if name != CSRF]
    files = [(name, file.name, file.size) for name, file in sorted(request.FILES.items())]
    return sha256(repr((request.path, sent, files)).encode()).hexdigest()


def form_page(
    request: HttpRequest,
    make_form: Callable[..., BaseForm],
    save: Callable[[BaseForm], str],
    *,
    title: str,
    back: str,
    template: str = "form.html",
    context: Mapping[str, object] | None = None,
) -> HttpResponse:
    """Show a form; on a good answer save it once and go where `save` says.

    `make_form(data=..., files=...)` draws the form. A Refused from `save` stands beside the
    field it names, and everything typed stays.
    """
    posted = request.method == "POST"
    form = make_form(data=request.POST, files=request.FILES) if posted else make_form()
    if posted and form.is_valid():
        try:
            went_to, _ = do_once(request, lambda: save(form))
            return redirect(went_to)
        except Refused as refusal:
            field = refusal.field if refusal.field in form.fields else None
            form.add_error(field, refusal.sentence)
            if isinstance(refusal, Stale):
                form.see_again()
    page = {"form": form, "title": title, "back": back, "once": once_token(request)}
    status = UNPROCESSABLE if posted else 200
    return render(request, template, {**page, **(context or {})}, status=status)


def record_page(
    request: HttpRequest,
    form_class: type,
    record: models.Model,
    *,
    title: str,
    back: str,
    go: Callable[[Record], str] | None = None,
    keep: Callable[..., Record] = keep_record,
    **more,
) -> HttpResponse:
    """Show the form of one record and keep what was typed by the verb `keep`."""

    def make_form(**data) -> BaseForm:
        return form_class(request.studio, instance=record, **data)

    def save(form: BaseForm) -> str:
        kept = keep(form.save(commit=False), seen_version=form.seen)
        messages.success(request, f"{capfirst(str(kept))} is saved.")
        return go(kept) if go else back

    return form_page(request, make_form, save, title=title, back=back, **more)


def remove_page(
    request: HttpRequest, record: Record, *, back: str, go: str, loses: str = ""
) -> HttpResponse:
    """Ask before removing; say why where it must be kept. `loses` names what goes with it."""
    page = {"record": record, "back": back, "loses": loses, "refusal": record.why_kept()}
    if request.method == "POST":
        name = str(record)
        try:
            remove_record(record)
        except Refused as refusal:
            page["refusal"] = refusal.sentence
            return render(request, "remove.html", page, status=UNPROCESSABLE)
        messages.success(request, f"{capfirst(name)} is removed.")
        return redirect(go)
    return render(request, "remove.html", page)


def confirm_page(
    request: HttpRequest, act: Callable[[], object], *, done: str, back: str, **words: object
) -> HttpResponse:
    """Ask before `act` is done; say why where it is refused, and `done` where it was.

    `words` are those of confirm.html: question, consequences, no (the way out), yes (the button).
    """
    page = {"back": back, **words}
    if request.method == "POST":
        try:
            act()
        except Refused as refusal:
            page["refusal"] = refusal.sentence
            return render(request, "confirm.html", page, status=UNPROCESSABLE)
        messages.success(request, done)
        return redirect(back)
    return render(request, "confirm.html", page)
