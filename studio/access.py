"""Fetch and authorise in one call: a stranger's record does not exist."""

from django.db import DataError, models
from django.http import Http404, HttpRequest


def own[T: models.Model](request: HttpRequest, model: type[T], **lookup) -> T:
    """Return the one record of the signed-in person's studio, or raise Http404."""
    try:
        return model.objects.of(request.studio).get(**lookup)
    except (model.DoesNotExist, OverflowError, ValueError, DataError) as error:
        raise Http404 from error
