"""manage.py demo: set all up, load the demo studio, and serve it with its reminder worker."""

import signal
import socket
import sys
from threading import Event, Thread

from django.conf import settings
from django.core.management import call_command
from django.core.management.base import BaseCommand, CommandError
from django.utils import timezone

from quotes.demo.load import load_demo
from quotes.demo.scenario import EMAIL, PASSWORD
from schedule.worker import work_until
from studio.models import Person, Studio

HOST = "127.0.0.1"
THREADS = 8
LONGEST_SEND = 40
"""Seconds the worker is given to finish the mail in hand."""


class Command(BaseCommand):
    help = "Create the database, load the demo studio if it is empty, and serve the app."

    def add_arguments(self, parser) -> None:
        parser.add_argument("--port", type=int, default=8000)
        parser.add_argument("--no-demo", action="store_true", help="start with no studio at all")
        parser.add_argument("--load-only", action="store_true", help="load and leave")

    def handle(self, *args, port: int, no_demo: bool, load_only: bool, **options) -> None:
        if not load_only:
            refuse_taken(port)
        call_command("migrate", verbosity=0)
        if not no_demo and not Studio.objects.exists():
            self.stdout.write("Loading the demo studio, a few seconds …")
            load_demo(now=timezone.now())
        if not load_only:
            self.serve(port)

    def serve(self, port: int) -> None:
        from waitress import create_server  # slow import

        from studio.wsgi import application  # needs the apps loaded

        settings.SITE_URL = f"http://localhost:{port}"
        server = create_server(application, host=HOST, port=port, threads=THREADS)
        stop = Event()
        worker = Thread(target=work_until, args=(stop,), name="reminders")
        for number in (signal.SIGINT, signal.SIGTERM):
            # Said outright, for a shell may start us with the interrupt ignored.
            signal.signal(number, lambda *_: sys.exit(0))
        worker.start()
        self.greet(port)
        try:
            server.run()
        finally:
            stop.set()
            server.close()
            worker.join(LONGEST_SEND)
            self.stdout.write("Stopped. What you typed is kept.")

    def greet(self, port: int) -> None:
        self.stdout.write(f"Between Coats is at http://localhost:{port}/")
        if not Studio.objects.exists():
            self.stdout.write("It is empty: open the address and begin your studio.")
        elif Person.objects.filter(email=EMAIL).exists():
            self.stdout.write(f"Sign in with {EMAIL} and the password {PASSWORD}")
        self.stdout.write(f"Reminders are written to {settings.DATA_DIR / 'mail'}")
        self.stdout.write("Stop with Ctrl-C.")
        self.stdout.flush()


def refuse_taken(port: int) -> None:
    """Raise CommandError, in one line, where the port cannot be had."""
    with socket.socket(socket.AF_INET, socket.SOCK_STREAM) as probe:
        probe.setsockopt(socket.SOL_SOCKET, socket.SO_REUSEADDR, 1)
        try:
            probe.bind((HOST, port))
        except (OSError, OverflowError) as error:
            other = port + 1 if 0 < port < 65535 else 8001
            raise CommandError(
                f"Port {port} is taken or cannot be used. Try another: --port {other}"
            ) from error
