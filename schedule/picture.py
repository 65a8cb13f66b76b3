"""The programme as a picture: sittings solid, drying as a wash that fades as it dries."""

from dataclasses import dataclass, field
from datetime import date, datetime, timedelta

from jobs.domain.gates import show_gate
from jobs.layout.lettering import letters_width
from jobs.models import Commission, Panel, Sitting
from schedule.domain.programme import planned_gates, planned_sittings
from schedule.engine.calendar import instant
from schedule.models import PlannedFinish, PlannedGate, PlannedSitting
from studio.formats import show_day, show_time
from studio.models import DatedHours, Studio

NAMES = 220
HEAD = 44
LINE = 34
HEADING = 36
FOOT = 14
ROOM = 980
"""Width the days are fitted into where they can be, in the picture's units."""
DAY_WIDTHS = (15, 64)
LEAST_DAYS, MOST_DAYS = 14, 150
LEAST_BLOCK = 3
WANTED_LETTERS = 13
DAY_LABEL = 46


@dataclass(frozen=True)
class Box:
    """A mark in the picture's units, with what a pointer or a screen reader is told.

    `fixed` says that it is a sitting which the painter fixed.
    """

    x: float
    y: float
    width: float
    height: float
    title: str = ""
    fixed: bool = False


@dataclass(frozen=True)
class Row:
    """A panel's line, or the heading of a commission where `panel` is 0."""

    y: float
    name: str
    motif: str = ""
    panel: int = 0
    commission: int = 0


@dataclass(frozen=True)
class Upright:
    """An upright line from `top` to `bottom`, with its words before it, or `after` it."""

    x: float
    top: float
    bottom: float
    words: str
    after: bool = False


@dataclass
class Picture:
    """All that the template draws; `cut` says that the work goes on beyond the right edge."""

    width: float
    title: str
    height: float = HEAD
    rows: list[Row] = field(default_factory=list)
    days: list[Upright] = field(default_factory=list)
    off: list[Box] = field(default_factory=list)
    away: list[Box] = field(default_factory=list)
    worked: list[Box] = field(default_factory=list)
    sittings: list[Box] = field(default_factory=list)
    washes: list[Box] = field(default_factory=list)
    wanted: list[Upright] = field(default_factory=list)
    now: Upright | None = None
    cut: bool = False


class _Scale:
    """From instants to places across the picture: one local day, one step."""

    def __init__(self, studio: Studio, first: date, days: int) -> None:
        self.studio, self.first, self.days = studio, first, days
        least, most = DAY_WIDTHS
        self.day = min(most, max(least, ROOM / days))

    @property
    def last(self) -> date:
        return self.first + timedelta(days=self.days - 1)

    @property
    def right(self) -> float:
        return NAMES + self.days * self.day

    def x(self, moment: datetime) -> float:
        there = moment.astimezone(self.studio.zone)
        part = (there.hour * 60 + there.minute) / (24 * 60)
        return self._within(NAMES + ((there.date() - self.first).days + part) * self.day)

    def x_of_day(self, day: date) -> float:
        return self._within(NAMES + (day - self.first).days * self.day)

    def _within(self, x: float) -> float:
        return min(max(x, NAMES), self.right)

    def box(
        self, start: datetime, end: datetime, y: float, height: float, title: str, **more: bool
    ) -> Box:
        left, right = self.x(start), self.x(end)
        return Box(left, y, max(LEAST_BLOCK, right - left), height, title, **more)


def programme_picture(studio: Studio, *, now: datetime) -> Picture | None:
    """Return the picture of all agreed work from yesterday on, or None where there is none."""
    panels = Panel.objects.of(studio).filter(
        surface__piece__commission__state__in=Commission.IN_HAND
    )
    panels = list(panels.select_related("surface__piece__commission"))
    if not panels:
        return None
    sittings, gates = list(planned_sittings(studio)), list(planned_gates(studio))
    finishes = {row.commission_id: row for row in PlannedFinish.objects.of(studio)}
    scale, cut = _scale(studio, panels, [*sittings, *gates], now)
    picture = Picture(width=scale.right + 6, title=f"Programme of {studio.name}", cut=cut)
    _draw_rows(picture, panels, finishes, scale)
    lines = {row.panel: row.y for row in picture.rows if row.panel}
    _draw_calendar(picture, scale)
    _draw_plan(picture, scale, sittings, gates, lines, now)
    _draw_log(picture, scale, lines, now)
    picture.now = Upright(scale.x(now), HEAD, picture.height, "now")
    picture.height += FOOT
    return picture


def _scale(studio: Studio, panels, planned, now: datetime) -> tuple[_Scale, bool]:
    first = now.astimezone(studio.zone).date() - timedelta(days=1)
    ends = [row.opens if isinstance(row, PlannedGate) else row.end for row in planned]
    ends = [end.astimezone(studio.zone).date() for end in ends]
    last = max([first + timedelta(days=LEAST_DAYS), *ends])
    soon = last + timedelta(days=LEAST_DAYS)
    wanted = {panel.commission.wanted for panel in panels if panel.commission.wanted}
    last = max([last, *(day for day in wanted if day <= soon)])
    days = (last - first).days + 2
    return _Scale(studio, first, min(days, MOST_DAYS)), days > MOST_DAYS


def _draw_rows(picture: Picture, panels: list[Panel], finishes: dict, scale: _Scale) -> None:
    commissions = {panel.commission.pk: panel.commission for panel in panels}
    for commission in sorted(commissions.values(), key=lambda c: (c.wanted or date.max, c.number)):
        top = picture.height
        picture.rows.append(Row(top + 24, commission.title, commission=commission.number))
        picture.height += HEADING
        for panel in panels:
            if panel.commission.pk == commission.pk:
                picture.rows.append(Row(picture.height, panel.title, panel.motif, panel.pk))
                picture.height += LINE
        if commission.wanted and scale.first <= commission.wanted <= scale.last:
            finish = finishes.get(commission.pk)
            late = finish.late_days if finish else 0
            words = f"wanted {show_day(commission.wanted, scale.studio)}"
            if late:
                words += f", late by {late} day{'s' if late > 1 else ''}"
            x = scale.x_of_day(commission.wanted + timedelta(days=1))
            # Before the line they would stand on the names, or on the line that says now.
            after = x - letters_width(words, WANTED_LETTERS) < NAMES + 2 * scale.day
            picture.wanted.append(Upright(x, top + 8, picture.height, words, after))


def _draw_calendar(picture: Picture, scale: _Scale) -> None:
    worked = set(scale.studio.windows.values_list("weekday", flat=True))
    off = list(scale.studio.days_off.all())
    dated = list(scale.studio.dated_hours.filter(day__gte=scale.first, day__lte=scale.last))
    longer = {row.day for row in dated if row.kind == DatedHours.Kind.EXTRA}
    every = 1 if scale.day >= DAY_LABEL else 7
    for number in range(scale.days):
        day = scale.first + timedelta(days=number)
        x = scale.x_of_day(day)
        named = every == 1 or day.weekday() == 0 or number == 0
        if named and x < scale.right - DAY_LABEL / 2:
            picture.days.append(Upright(x, HEAD, picture.height, show_day(day, scale.studio)))
        is_worked = day.weekday() in worked or day in longer
        if not is_worked or any(row.first <= day <= row.last for row in off):
            picture.off.append(Box(x, HEAD, scale.day, picture.height - HEAD))
    for row in dated:
        if row.kind == DatedHours.Kind.AWAY and row.person_id is None:
            start, end = (instant(row.day, at, scale.studio.zone) for at in (row.start, row.end))
            height = picture.height - HEAD
            picture.away.append(scale.box(start, end, HEAD, height, f"{row}, {_span(row, scale)}"))


def _draw_plan(
    picture: Picture,
    scale: _Scale,
    sittings: list[PlannedSitting],
    gates: list[PlannedGate],
    lines: dict[int, float],
    now: datetime,
) -> None:
    for row in sittings:
        y = lines.get(row.stage.panel_id)
        if y is not None and scale.x(row.start) < scale.right:
            told, fixed = _told(row, scale), row.pin is not None
            picture.sittings.append(scale.box(row.start, row.end, y + 5, 24, told, fixed=fixed))
    for row in gates:
        y = lines.get(row.stage.panel_id)
        if y is not None and scale.x(row.since) < scale.right and row.opens > row.since:
            title = (
                f"{row.stage.panel.title}: {row.stage.coat_name(row.coat)} dries until "
                f"{show_gate(row.opens, scale.studio, now=now)}"
            )
            picture.washes.append(scale.box(row.since, row.opens, y + 9, 16, title))


def _draw_log(picture: Picture, scale: _Scale, lines: dict[int, float], now: datetime) -> None:
    """Draw what was worked since yesterday, up to now for what is under the brush."""
    since = now - timedelta(days=2)
    rows = Sitting.objects.of(scale.studio).filter(start__gte=since, stage__panel__in=lines)
    for row in rows.select_related("stage"):
        end = row.end or now
        if end.astimezone(scale.studio.zone).date() >= scale.first:
            title = f"done: {row.stage.name}, {_moment(row.start, scale)}"
            box = scale.box(row.start, end, lines[row.stage.panel_id] + 5, 24, title)
            picture.worked.append(box)


def _told(row: PlannedSitting, scale: _Scale) -> str:
    until = show_time(row.end, scale.studio)
    name = f"{row.stage.panel.title}: {row.stage.coat_name(row.coat)}"
    fixed = ", fixed" if row.pin else ""
    return f"{name}, {_moment(row.start, scale)} to {until}, {row.person.name}{fixed}"


def _span(row: DatedHours, scale: _Scale) -> str:
    times = (show_time(at, scale.studio) for at in (row.start, row.end))
    return f"{show_day(row.day, scale.studio)} {' to '.join(times)}"


def _moment(moment: datetime, scale: _Scale) -> str:
    return f"{show_day(moment, scale.studio)} {show_time(moment, scale.studio)}"
