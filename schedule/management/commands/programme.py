"""manage.py programme: the plan of all agreed work."""

from django.utils import timezone

from schedule.domain.programme import fresh_programme, planned_gates, planned_sittings
from schedule.models import PlannedFinish, Programme
from studio.formats import show_day, show_time
from studio.management.say import StudioCommand, chosen_studio, iso
from studio.models import Studio


class Command(StudioCommand):
    help = "Print the programme: sittings, gates and when each commission will be ready."

    def handle(self, *args, **options) -> None:
        studio = chosen_studio(options["studio"])
        now = timezone.now()
        programme = fresh_programme(studio, now=now)
        if options["json"]:
            self.say_json(programme_data(studio, programme))
            return
        for row in planned_sittings(studio).filter(end__gt=now):
            start, end = show_time(row.start, studio), show_time(row.end, studio)
            coat = row.stage.coat_name(row.coat)
            day = show_day(row.start, studio)
            self.stdout.write(f"{day}  {start}-{end}  {row.stage.panel.name}: {coat}")
        for sentence in programme.troubles:
            self.stdout.write(sentence)


def programme_data(studio: Studio, programme: Programme) -> dict:
    """Return the programme under stable keys, times as ISO 8601 with offset."""
    finishes = PlannedFinish.objects.of(studio).select_related("commission")
    return {
        "made": iso(programme.made_at, studio),
        "sittings": [
            {
                "commission": row.stage.panel.commission.number,
                "panel": row.stage.panel.name,
                "stage": row.stage.coat_name(row.coat),
                "person": row.person.name,
                "start": iso(row.start, studio),
                "end": iso(row.end, studio),
            }
            for row in planned_sittings(studio)
        ],
        "gates": [
            {
                "panel": row.stage.panel.name,
                "stage": row.stage.coat_name(row.coat),
                "kind": row.kind,
                "opens": iso(row.opens, studio),
            }
            for row in planned_gates(studio)
        ],
        "commissions": [
            {
                "number": row.commission.number,
                "title": row.commission.title,
                "finish": iso(row.finish, studio),
                "wanted": row.commission.wanted.isoformat() if row.commission.wanted else None,
                "late_days": row.late_days,
            }
            for row in finishes
        ],
    }
