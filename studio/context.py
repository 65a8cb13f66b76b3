"""What every page knows."""

from django.http import HttpRequest


def studio(request: HttpRequest) -> dict[str, object]:
    """Return the signed-in person's studio for headings and formats."""
    return {"studio": getattr(request, "studio", None)}
