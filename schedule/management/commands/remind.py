"""manage.py remind: the reminder worker."""

import signal
from threading import Event

from django.core.management.base import BaseCommand

from schedule.worker import work_once, work_until


class Command(BaseCommand):
    help = "Send due reminders, again and again; with --once, look once and leave."

    def add_arguments(self, parser) -> None:
        parser.add_argument("--once", action="store_true", help="look once, say how many, leave")

    def handle(self, *args, **options) -> None:
        if options["once"]:
            count = work_once()
            self.stdout.write(f"{count} reminder{'' if count == 1 else 's'} sent.")
            return
        stop = Event()
        for number in (signal.SIGTERM, signal.SIGINT):
            signal.signal(number, lambda *_: stop.set())
        self.stdout.write("Reminders are sent as coats come dry. Stop with Ctrl-C.")
        work_until(stop)
