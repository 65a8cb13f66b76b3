"""A panel on a sound painted piece, and what the layering rules say of it."""

from datetime import UTC, datetime, timedelta

from jobs.domain.layering import method_findings, verdict_now
from jobs.domain.mixes import keep_mix
from jobs.domain.workshop import workshop_of
from jobs.models import Mix, Panel, Stage
from studio.models import Studio

MONDAY = datetime(2026, 11, 2, 12, tzinfo=UTC)
HOUR = timedelta(hours=1)
DAY = timedelta(days=1)
SOUND = (("clean", "wash", 1, "recoat"), ("sand", "none", 1, "none"))
GROUND = (("prime", "gesso", 2, "recoat"), ("ground-colour", "acrylic", 1, "through-dry"))
DRY_GROUND = (*SOUND, *GROUND)


def fresh(panel: Panel) -> Panel:
    return Panel.objects.of(panel.owner).for_bench().get(pk=panel.pk)


def said(panel: Panel) -> list[tuple[str, str]]:
    panel = fresh(panel)
    steps = list(panel.stages.all())
    return [(step.kind, one.rule) for step, one in method_findings(steps, studio=panel.owner)]


def now_said(panel: Panel, now: datetime):
    return verdict_now(fresh(panel), now=now, workshop=workshop_of(panel.owner))


def mix(studio: Studio, colour: str = "", **parts: int) -> Mix:
    return keep_mix(Mix(studio=studio, name="A mix", colour=colour), parts=parts)


def change(panel: Panel, kind: str, **values) -> None:
    Stage.objects.filter(panel=panel, kind=kind).update(**values)
