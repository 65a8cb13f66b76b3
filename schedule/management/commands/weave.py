"""manage.py weave SLUG: the long search for a better plan."""

import os
from uuid import UUID

from django.core.management.base import BaseCommand, CommandError
from django.utils import timezone

from schedule.domain.weaving import claim, weave, weaving_of, won_words
from studio.models import Studio

STAND_BACK = 10
"""How far it stands back behind the pages, which somebody waits for."""


class Command(BaseCommand):
    help = "Search for a better plan of a studio and store it; the pages begin this by themselves."

    def add_arguments(self, parser) -> None:
        parser.add_argument("studio", help="the studio's short name")
        parser.add_argument("--claim", type=UUID, help="given by the page that begins it")

    def handle(self, *args, studio: str, **options) -> None:
        found = Studio.objects.filter(slug=studio).first()
        if found is None:
            raise CommandError(f"There is no studio {studio}.")
        os.nice(STAND_BACK)
        held = options["claim"]
        if held is None:
            weaving, new = claim(found, now=timezone.now(), calm=False)
            if not new:
                raise CommandError("It is being woven already.")
            held = weaving.claim
        weave(found, claim=held)
        weaving = weaving_of(found)
        if weaving.state == weaving.State.FAILED:
            raise CommandError(weaving.words)
        said = won_words(weaving.days_won, weaving.late_won)
        self.stdout.write(f"{weaving.steps} plans made: {said}.")
