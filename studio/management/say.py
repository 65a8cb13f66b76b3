"""What the commands share: which studio, and errors on standard error."""

import json
from argparse import ArgumentParser
from datetime import datetime

from django.core.management.base import BaseCommand, CommandError

from studio.models import Studio


class StudioCommand(BaseCommand):
    """A command about one studio that speaks to people, or as JSON to programs."""

    def add_arguments(self, parser: ArgumentParser) -> None:
        add_studio(parser)
        parser.add_argument("--json", action="store_true", help="for other programs")

    def say_json(self, data: object) -> None:
        self.stdout.write(json.dumps(data, ensure_ascii=False, indent=2))


def add_studio(parser: ArgumentParser) -> None:
    parser.add_argument("--studio", metavar="SLUG", help="which studio, where there are several")


def chosen_studio(slug: str | None) -> Studio:
    """Return the studio meant. Raises CommandError where it is not clear."""
    studios = list(Studio.objects.order_by("pk"))
    if slug:
        found = [studio for studio in studios if studio.slug == slug]
        if not found:
            raise CommandError(f"There is no studio '{slug}'.")
        return found[0]
    if not studios:
        raise CommandError("There is no studio yet: open the app once, or load the demo.")
    if len(studios) > 1:
        slugs = ", ".join(studio.slug for studio in studios)
        raise CommandError(f"There are several studios ({slugs}): say which with --studio.")
    return studios[0]


def iso(moment: datetime | None, studio: Studio) -> str | None:
    """Return an instant as ISO 8601 with the studio's offset."""
    return moment.astimezone(studio.zone).isoformat(timespec="seconds") if moment else None
