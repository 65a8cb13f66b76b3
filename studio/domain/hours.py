"""Whether hours of a day are worked already, before longer ones are written down."""

from datetime import date, time

from django.db.models import Q

from studio.models import DatedHours, Person, Studio


def works_then(
    studio: Studio,
    day: date,
    start: time,
    end: time,
    *,
    person: Person | None = None,
    besides: DatedHours | None = None,
) -> bool:
    """Return whether the hours from `start` to `end` of a local day are all working hours.

    They are those of the weekday and the longer ones of that day: everyone's, and those of
    `person`. `besides` is left out. Days off and visits are not looked at.
    """
    whose = Q(person=None) | Q(person=person) if person else Q(person=None)
    longer = studio.dated_hours.filter(whose, kind=DatedHours.Kind.EXTRA, day=day)
    rows = [*studio.windows.filter(weekday=day.weekday())]
    rows += longer.exclude(pk=besides.pk) if besides else longer
    reached = start
    for row in sorted(rows, key=lambda row: row.start):
        if row.start <= reached:
            reached = max(reached, row.end)
    return reached >= end
