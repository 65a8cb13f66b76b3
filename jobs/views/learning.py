"""What the touch tests taught the studio of its own drying."""

from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.views.decorators.http import require_GET

from jobs.domain.lessons import lessons
from jobs.pictures import belief_of


@require_GET
def learning(request: HttpRequest) -> HttpResponse:
    rows = [(lesson, belief_of(lesson)) for lesson in lessons(request.studio)]
    return render(request, "jobs/learning.html", {"lessons": rows})
