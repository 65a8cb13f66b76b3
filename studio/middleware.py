"""Whose studio a request is about, and its local time."""

from collections.abc import Callable

from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect
from django.urls import reverse
from django.utils import timezone

from studio.models import Studio


class StudioMiddleware:
    """Set request.studio, work in the studio's time zone, and lead a new installation to begin."""

    def __init__(self, get_response: Callable[[HttpRequest], HttpResponse]) -> None:
        self.get_response = get_response

    def __call__(self, request: HttpRequest) -> HttpResponse:
        request.studio = None
        if request.user.is_authenticated:
            request.studio = request.user.studio
            with timezone.override(request.studio.zone):
                return self.get_response(request)
        if request.path == reverse("sign-in") and not Studio.objects.exists():
            return redirect("begin")
        return self.get_response(request)
