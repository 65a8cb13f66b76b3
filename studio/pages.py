"""The pages every record has: a form that saves once, a removal or a verb that asks first."""

from collections.abc import Callable, Mapping
from functools import wraps
from uuid import UUID, uuid4

from django.contrib import messages
from django.db import models, transaction
from django.forms import BaseForm
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.utils.crypto import salted_hmac
from django.utils.text import capfirst

from studio.domain.records import hold_studio, keep_record, remove_record
from studio.models import Once, Record, Studio
from studio.refusal import Refused, Stale

UNPROCESSABLE = 422
CSRF = "csrfmiddlewaretoken"
ALREADY = "That was done already; the second click changed nothing."


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


def counts_once(view: Callable[..., HttpResponse]) -> Callable[..., HttpResponse]:
    """Let a view answer a second click on what its first click removed.

    Whether it does hangs on the page's token within the studio alone, never on what else there
    is: whoever did not do it herself finds nothing.
    """

    @wraps(view)
    def answer(request: HttpRequest, **keys: object) -> HttpResponse:
        if request.method == "POST" and (given := answer_given(request, request.studio)):
            messages.info(request, ALREADY)
            return redirect(given.went_to)
        return view(request, **keys)

    return answer


def answer_given(request: HttpRequest, studio: Studio) -> Once | None:
    """Return the answer this studio was given to this very form already, if any."""
    asked = {"token": once_token(request), "digest": _digest(request)}
    return Once.objects.filter(studio=studio, **asked).first()


def keep_answer(request: HttpRequest, studio: Studio, *, went_to: str) -> None:
    """Keep the answer to a form that was sent before there was a studio to hold."""
    asked = {"token": once_token(request), "digest": _digest(request)}
    Once.objects.create(studio=studio, went_to=went_to, **asked)


def do_and_go(
    request: HttpRequest, act: Callable[[], object], *, done: str, go: str
) -> HttpResponse:
    """Run `act` once, say that it is `done` and go on. Refused is the caller's."""

    def act_and_go() -> str:
        act()
        return go

    went_to, new = do_once(request, act_and_go)
    if new:
        messages.success(request, done)
    else:
        messages.info(request, ALREADY)
    return redirect(went_to)


def _digest(request: HttpRequest) -> str:
    sent = [(name, values) for name, values in sorted(request.POST.lists()) if name != CSRF]
    files = [(name, file.name, file.size) for name, file in sorted(request.FILES.items())]
    # Keyed, because what was sent may hold a password.
    told = repr((request.path, sent, files))
    return salted_hmac("once", told, algorithm="sha256").hexdigest()


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
    more_said: Callable[[Record], str] = lambda kept: "",
    **more,
) -> HttpResponse:
    """Show the form of one record and keep what was typed by the verb `keep`.

    `more_said` is what else is to be known of what was kept.
    """

    def make_form(**data) -> BaseForm:
        return form_class(request.studio, instance=record, **data)

    def save(form: BaseForm) -> str:
        kept = keep(form.save(commit=False), seen_version=form.seen)
        messages.success(request, f"{capfirst(str(kept))} is saved. {more_said(kept)}".strip())
        return go(kept) if go else back

    return form_page(request, make_form, save, title=title, back=back, **more)


def remove_page(
    request: HttpRequest,
    record: Record,
    *,
    back: str,
    go: str,
    loses: str = "",
    stays: str = "",
    remove: Callable[[Record], None] = remove_record,
) -> HttpResponse:
    """Ask before removing by the verb `remove`; say why where it must be kept.

    `loses` names what goes with it, `stays` is a sentence on what does not. The view stands
    under counts_once.
    """
    page = {"record": record, "loses": loses, "stays": stays, "refusal": record.why_kept()}
    done = f"{capfirst(str(record))} is removed."
    return _ask_first(
        request, "remove.html", page, lambda: remove(record), done=done, back=back, go=go
    )


def confirm_page(
    request: HttpRequest, act: Callable[[], object], *, done: str, back: str, **words: object
) -> HttpResponse:
    """Ask before `act` is done; say why where it is refused, and `done` where it was.

    `words` are those of confirm.html: question, consequences, no (the way out), yes (the button).
    """
    return _ask_first(request, "confirm.html", words, act, done=done, back=back, go=back)


def _ask_first(
    request: HttpRequest,
    template: str,
    words: Mapping[str, object],
    act: Callable[[], object],
    *,
    done: str,
    back: str,
    go: str,
) -> HttpResponse:
    page = {**words, "back": back, "once": once_token(request)}
    if request.method != "POST":
        return render(request, template, page)
    try:
        return do_and_go(request, act, done=done, go=go)
    except Refused as refusal:
        page["refusal"] = refusal.sentence
        return render(request, template, page, status=UNPROCESSABLE)
