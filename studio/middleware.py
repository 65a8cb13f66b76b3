"""Whose studio a request is about, its local time, and where a part of a page is led."""

from collections.abc import Callable

from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect
from django.urls import reverse
from django.utils import timezone
from django.utils.cache import patch_vary_headers
from django_htmx.http import HttpResponseClientRedirect

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


class WholePageMiddleware:
    """Lead the whole page where the request of a part of it is redirected.

    A bench that looks again after she signed out must not draw the sign-in page inside itself.
    """

    def __init__(self, get_response: Callable[[HttpRequest], HttpResponse]) -> None:
        self.get_response = get_response

    def __call__(self, request: HttpRequest) -> HttpResponse:
        response = self.get_response(request)
        if "Location" in response:
            if request.htmx:
                response = HttpResponseClientRedirect(response["Location"])
            patch_vary_headers(response, ["HX-Request"])
        return response
