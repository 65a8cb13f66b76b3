"""manage.py bench: what can be worked now, what is drying, what comes next."""

from django.utils import timezone

from jobs.domain.gates import show_gate
from schedule.domain.bench import Bench, bench_of
from schedule.domain.programme import fresh_programme
from studio.formats import show_day, show_minutes
from studio.management.say import StudioCommand, chosen_studio, iso
from studio.models import Studio


class Command(StudioCommand):
    help = "Print the bench: ready now, still to come, drying, next."

    def handle(self, *args, **options) -> None:
        studio = chosen_studio(options["studio"])
        now = timezone.now()
        fresh_programme(studio, now=now)
        bench = bench_of(studio, now=now)
        if options["json"]:
            self.say_json(bench_data(studio, bench))
            return
        for row in bench.ready:
            minutes = show_minutes(row.minutes)
            self.stdout.write(f"ready   {row.panel.name}: {row.title}, about {minutes}")
        for row in bench.to_come:
            for one in row.to_come:
                day = show_day(one.day, studio)
                self.stdout.write(f"later   {row.panel.name}: {one.words.lower()} {day}")
        for row in bench.drying:
            likely = show_gate(row.gate.likely, studio, now=now)
            surely = show_gate(row.gate.surely, studio, now=now)
            self.stdout.write(f"drying  {row.panel.name}: likely {likely}, surely {surely}")


def bench_data(studio: Studio, bench: Bench) -> dict:
    """Return the bench under stable keys, times as ISO 8601 with offset."""
    return {
        "ready": [
            {"panel": row.panel.name, "stage": row.title, "minutes": row.minutes}
            for row in bench.ready
        ],
        "to_come": [
            {"panel": row.panel.name, "stage": row.title, "day": row.to_come[-1].day.isoformat()}
            for row in bench.to_come
        ],
        "drying": [
            {
                "panel": row.panel.name,
                "stage": row.gate.stage.coat_name(row.gate.coat),
                "likely": iso(row.gate.likely, studio),
                "surely": iso(row.gate.surely, studio),
            }
            for row in bench.drying
        ],
        "next": [
            {
                "panel": row.stage.panel.name,
                "stage": row.stage.coat_name(row.coat),
                "start": iso(row.start, studio),
                "end": iso(row.end, studio),
            }
            for row in bench.next
        ],
    }
