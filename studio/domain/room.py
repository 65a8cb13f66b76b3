"""The room as it is from now on, and as it was while what lies there began to dry."""

from datetime import datetime

from django.db import transaction

from studio.domain.records import keep_record
from studio.models import Studio

ROOM = ("room_temperature", "room_humidity", "room_airing")
MOST_PAST = 40
"""Rooms kept of the past: a paint that cures for a month outlasts a change a day."""


@transaction.atomic
def keep_studio(studio: Studio, *, now: datetime, seen_version: int | None = None) -> Studio:
    """Save the studio; where its room is another, the one before is kept with the hour it ended.

    `now` is an aware instant. Raises Stale as keep_record does.
    """
    before = Studio.objects.get(pk=studio.pk)
    studio.past_rooms = before.past_rooms
    was = {name: getattr(before, name) for name in ROOM}
    if was != {name: getattr(studio, name) for name in ROOM}:
        studio.past_rooms = [*before.past_rooms, {"until": now.isoformat(), **was}][-MOST_PAST:]
    return keep_record(studio, seen_version=seen_version)
