"""Signing in, and holding back whoever guesses at a password."""

from collections.abc import Mapping

from django.contrib.auth.views import LoginView
from django.http import HttpRequest, HttpResponse

from studio.forms import SignInForm

TOO_MANY_REQUESTS = 429


class SignIn(LoginView):
    """The door of the studio."""

    template_name = "studio/sign_in.html"
    authentication_form = SignInForm


def tried_email(request: HttpRequest, credentials: Mapping[str, str] | None) -> str:
    """Return the email a try is counted for; in another case it is the same letter-box."""
    return ((credentials or request.POST).get("username") or "").lower()


def held_back(
    request: HttpRequest, page: HttpResponse, credentials: Mapping[str, str] | None
) -> HttpResponse:
    """Return the page with the sign-in as typed, marked as held back (RFC 6585, section 4)."""
    page.status_code = TOO_MANY_REQUESTS
    return page
