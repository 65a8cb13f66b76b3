"""What work waits for from outside: a piece that arrives, a colour to be agreed, paint on order."""

from datetime import date, datetime

from jobs.domain.to_come import takes_colour
from jobs.models import Panel, Stage
from schedule.domain.hours import day_starts
from schedule.domain.problem import StudioProblem
from studio.formats import show_day
from studio.models import Studio


def awaited(asked: StudioProblem, panel: str, task: str, until: datetime) -> str:
    """Return what a coat, or its panel where `task` is empty, waits for till an instant, in words.

    Empty where the record knows of nothing.
    """
    row = asked.panels[panel]
    stage = asked.stage_and_coat(task)[0] if task else None
    studio = row.commission.studio
    told = []
    for day, words in _days(asked, row, stage):
        if day and day_starts(day, studio.zone) == until:
            told.append(words.format(day=show_day(day, studio)))
    return " and ".join(told)


def _days(asked: StudioProblem, panel: Panel, stage: Stage | None) -> list[tuple[date | None, str]]:
    piece = panel.surface.piece
    days = [(piece.arrives, f"{_free(piece.name)} arrives on {{day}}")]
    if stage is None:
        return days
    if takes_colour(stage):
        agreed = f"the colour of {_free(panel.title)} is to be agreed by {{day}}"
        days.append((panel.colour_agreed_by, agreed))
    if supply := asked.on_order.get(stage.binder):
        days.append((supply.comes, f"{_free(supply.name)} comes on {{day}}"))
    return days


def _free(name: str) -> str:
    """Return a name that holds nothing to be filled in."""
    return name.replace("{", "{{").replace("}", "}}")


def days_awaited(asked: StudioProblem, studio: Studio) -> dict[str, list]:
    """Return the days to come of all pieces, colours and paint on order (JSON).

    By what they are of (`piece 3`, `colour 12` of a panel, `paint gesso`): the name, the day, and
    the keys of the panels that wait, none for paint.
    """
    today = asked.problem.now.astimezone(studio.zone).date()
    days: dict[str, list] = {}
    for key, panel in asked.panels.items():
        piece = panel.surface.piece
        if piece.arrives and piece.arrives > today:
            row = days.setdefault(f"piece {piece.pk}", [piece.name, piece.arrives.isoformat(), []])
            row[2].append(key)
        agreed = panel.colour_agreed_by
        if agreed and agreed > today:
            days[f"colour {panel.pk}"] = [panel.title, agreed.isoformat(), [key]]
    for binder, supply in asked.on_order.items():
        days[f"paint {binder}"] = [supply.name, supply.comes.isoformat(), []]
    return days
