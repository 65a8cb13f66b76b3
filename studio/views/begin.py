"""The first page of a new installation."""

from django.contrib.auth import login
from django.contrib.auth.decorators import login_not_required
from django.db import IntegrityError
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.views.decorators.http import require_http_methods

from studio.domain.opening import open_studio
from studio.forms import BeginForm
from studio.models import Studio
from studio.pages import UNPROCESSABLE


@login_not_required
@require_http_methods(["GET", "POST"])
def begin(request: HttpRequest) -> HttpResponse:
    """Open the first studio; once there is one, people are added from within it."""
    if Studio.objects.exists():
        return redirect("home")
    new = Studio()
    form = BeginForm(new, instance=new, data=request.POST or None)
    if request.method == "POST" and form.is_valid():
        try:
            person = open_studio(
                form.save(commit=False),
                person_name=form.cleaned_data["person_name"],
                email=form.cleaned_data["person_email"],
                password=form.cleaned_data["password"],
            )
        except IntegrityError:
            # A double click: the first of the two has opened it.
            return redirect("home")
        login(request, person, backend="django.contrib.auth.backends.ModelBackend")
        return redirect("home")
    status = UNPROCESSABLE if request.method == "POST" else 200
    return render(request, "studio/begin.html", {"form": form}, status=status)


@require_http_methods(["GET"])
def home(request: HttpRequest) -> HttpResponse:
    """The day starts at the bench."""
    return redirect("bench")
