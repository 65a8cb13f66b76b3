"""The first page of a new installation."""

from django.contrib.auth import authenticate, login
from django.contrib.auth.decorators import login_not_required
from django.db import IntegrityError, transaction
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.urls import reverse
from django.views.decorators.http import require_http_methods

from studio.domain.opening import open_first_studio
from studio.forms import BeginForm
from studio.models import Person, Studio
from studio.pages import UNPROCESSABLE, answer_given, keep_answer, once_token
from studio.refusal import Refused


@login_not_required
@require_http_methods(["GET", "POST"])
def begin(request: HttpRequest) -> HttpResponse:
    """Open the first studio; once there is one, people are added from within it."""
    if Studio.objects.exists():
        return _opened_already(request)
    new = Studio()
    form = BeginForm(new, instance=new, data=request.POST or None)
    if request.method == "POST" and form.is_valid():
        try:
            person = _open(request, form)
        except (IntegrityError, Refused):
            # A double click: the first of the two has opened it.
            return _opened_already(request)
        login(request, person, backend="django.contrib.auth.backends.ModelBackend")
        return redirect("home")
    status = UNPROCESSABLE if request.method == "POST" else 200
    page = {"form": form, "once": once_token(request)}
    return render(request, "studio/begin.html", page, status=status)


@transaction.atomic
def _open(request: HttpRequest, form: BeginForm) -> Person:
    person = open_first_studio(
        form.save(commit=False),
        person_name=form.cleaned_data["person_name"],
        email=form.cleaned_data["person_email"],
        password=form.cleaned_data["password"],
    )
    keep_answer(request, person.studio, went_to=reverse("home"))
    return person


def _opened_already(request: HttpRequest) -> HttpResponse:
    """Lead on, and sign her in whose second click this is: her first answer may never reach her."""
    opened = Studio.objects.order_by("pk").first()
    if request.method == "POST" and answer_given(request, opened):
        typed = {"username": request.POST["person_email"], "password": request.POST["password"]}
        if person := authenticate(request, **typed):
            login(request, person)
    return redirect("home")


@require_http_methods(["GET"])
def home(request: HttpRequest) -> HttpResponse:
    """The day starts at the bench."""
    return redirect("bench")
