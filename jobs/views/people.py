"""What someone of the studio does at the bench."""

from django.http import HttpRequest, HttpResponse
from django.urls import reverse
from django.views.decorators.http import require_http_methods

from jobs.forms import KindsForm
from studio.access import own
from studio.models import Person
from studio.pages import record_page


@require_http_methods(["GET", "POST"])
def person_kinds(request: HttpRequest, pk: int) -> HttpResponse:
    person = own(request, Person, pk=pk)
    title = f"What {person.name} does"
    return record_page(request, KindsForm, person, title=title, back=reverse("business"))
