"""What if: one question put to the programme, its answer in days and money, kept or thrown away."""

from dataclasses import dataclass
from urllib.parse import urlencode

from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.urls import reverse
from django.utils import timezone
from django.views.decorators.http import require_GET, require_http_methods

from quotes.domain.questions import AnotherPerson, OneMore, OtherGround, Question
from quotes.domain.what_if import answer
from quotes.forms import AnotherPersonForm, GroundForm, OneMoreForm, OvertimeForm, RoomForm
from studio.formats import local
from studio.forms import StudioForm
from studio.models import Studio
from studio.pages import UNPROCESSABLE, do_and_go, once_token
from studio.refusal import Refused


@dataclass(frozen=True)
class Asked:
    """A question that may be asked: its key in the address, its words, its form."""

    key: str
    label: str
    form: type[StudioForm]


QUESTIONS = (
    Asked("commission", "One more commission", OneMoreForm),
    Asked("ground", "Another ground colour", GroundForm),
    Asked("person", "Another person for a week", AnotherPersonForm),
    Asked("room", "A warmer room", RoomForm),
    Asked("overtime", "Longer hours", OvertimeForm),
)


@require_http_methods(["GET", "POST"])
def what_if(request: HttpRequest) -> HttpResponse:
    asked = _asked(request)
    if asked is None:
        return _page(request, None, None)
    if request.method == "POST":
        form = asked.form(request.studio, data=request.POST)
        return _keep(request, asked, form) if form.is_valid() else _page(request, asked, form)
    typed = any(name in request.GET for name in asked.form.base_fields)
    if request.GET.keys() - {"ask"} <= {"enquiry", "panel"} or not typed:
        # She comes from an enquiry's or a panel's page, and has not asked yet.
        return _page(request, asked, _opened(request, asked))
    form = asked.form(request.studio, data=request.GET)
    return _page(request, asked, form, ready=form.is_valid())


@require_GET
def what_if_answer(request: HttpRequest) -> HttpResponse:
    asked = _asked(request)
    form = asked.form(request.studio, data=request.GET) if asked else None
    if form is None or not form.is_valid():
        return redirect(f"{reverse('what-if')}?{request.GET.urlencode()}")
    found, refusal = None, ""
    try:
        found = answer(form.question, request.studio, now=timezone.now())
    except Refused as refused:
        refusal = refused.sentence
    page = {
        "asked": asked,
        "form": form,
        "question": form.question,
        "answer": found,
        "refusal": refusal,
        "further": _further(form.question),
        "once": once_token(request),
        "query": request.GET.urlencode(),
    }
    template = "quotes/what_if_answer.html"
    template = f"{template}#answer" if request.htmx else template
    status = UNPROCESSABLE if refusal and not request.htmx else 200
    return render(request, template, page, status=status)


def _asked(request: HttpRequest) -> Asked | None:
    key = request.GET.get("ask", "")
    return next((one for one in QUESTIONS if one.key == key), None)


def _opened(request: HttpRequest, asked: Asked) -> StudioForm:
    """Return the form as it opens: with what its page has to say, or the coming week."""
    today = local(timezone.now(), request.studio).date()
    initial = {name: request.GET[name] for name in ("enquiry", "panel") if name in request.GET}
    return asked.form(request.studio, initial={"first": today, **initial})


def _page(
    request: HttpRequest, asked: Asked | None, form: StudioForm | None, *, ready: bool = False
) -> HttpResponse:
    page = {
        "questions": QUESTIONS,
        "asked": asked,
        "form": form,
        "ready": ready,
        "query": request.GET.urlencode(),
    }
    wrong = form is not None and form.is_bound and not ready
    return render(request, "quotes/what_if.html", page, status=UNPROCESSABLE if wrong else 200)


def _keep(request: HttpRequest, asked: Asked, form: StudioForm) -> HttpResponse:
    """Make the change for good, by the verbs its trial was made by; go where it is to be seen."""
    question = form.question
    if further := _further(question):
        return redirect(further)
    try:
        return do_and_go(
            request,
            lambda: question.change(Studio.objects.get(pk=request.studio.pk)),
            done="It is kept, and the programme is made anew.",
            go=_kept_at(question),
        )
    except Refused as refused:
        form.add_error(refused.field if refused.field in form.fields else None, refused.sentence)
        return _page(request, asked, form)


def _kept_at(question: Question) -> str:
    """Return where she sees what was kept."""
    if isinstance(question, OtherGround):
        return reverse("panel", args=[question.panel.pk])
    if isinstance(question, OneMore):
        return reverse("commission", args=[question.enquiry.number])
    return reverse("business")


def _further(question: Question) -> str:
    """Return the page on which she goes on herself, where nothing can be kept for her; or ""."""
    if isinstance(question, AnotherPerson):
        days = {"paints_from": question.first, "paints_until": question.last}
        return f"{reverse('person-new')}?{urlencode(days)}"
    if isinstance(question, OneMore) and question.enquiry is None:
        return reverse("commission-new")
    if isinstance(question, OneMore) and question.guess is None:
        return reverse("estimate", args=[question.enquiry.number])
    return ""
