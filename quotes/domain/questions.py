"""What she may ask of the programme: each question is a change, made by the ordinary verbs."""

from dataclasses import dataclass
from datetime import date, time, timedelta
from typing import Protocol

from django.utils import timezone

from jobs.domain.commissions import open_commission
from jobs.domain.grounds import GroundColour, ground_stage
from jobs.domain.guesses import Guess, measure_roughly
from jobs.domain.methods import keep_step
from jobs.domain.places import keep_panel
from jobs.labour.stages import MOST_COATS, coat_words
from jobs.models import Client, Commission, Panel
from quotes.domain.late import LateCost, deciding_late
from quotes.domain.pricing import price_commission
from schedule.domain.scratch import Foretold
from schedule.engine.problem import Problem
from studio.domain.records import keep_record
from studio.domain.room import keep_studio
from studio.formats import show_minutes, show_money
from studio.models import DatedHours, Person, Studio
from studio.refusal import Refused
from studio.signals import hold_changes

DAY = timedelta(days=1)


@dataclass(frozen=True)
class Cost:
    """What an answer comes to in minor units, before tax, and why in words.

    `amount` is None where nothing can be said of it. `earned` says that it comes in.
    """

    amount: int | None
    why: str
    earned: bool = False


class Question(Protocol):
    """A question put to the programme: `change` makes it so by the verbs the pages use.

    It is undone after a trial, and made for good when she keeps it. It may raise Refused.
    """

    def change(self, studio: Studio) -> Commission | None: ...

    def cost(self, studio: Studio, before: Foretold, after: Foretold) -> Cost: ...


@dataclass(frozen=True)
class OneMore:
    """One more commission: an enquiry, a rough size, or an enquiry of a rough size."""

    enquiry: Commission | None = None
    guess: Guess | None = None
    wanted: date | None = None

    def change(self, studio: Studio) -> Commission:
        if self.enquiry:
            rows = Commission.objects.of(studio).select_related("client", "studio")
            commission = rows.get(pk=self.enquiry.pk)
        else:
            client = keep_record(Client(studio=studio, name="Somebody"))
            told = {"title": "One more commission", "wanted": self.wanted}
            commission = open_commission(Commission(studio=studio, client=client, **told))
        if self.guess:
            measure_roughly(commission, self.guess)
        return commission

    def read(self, commission: Commission) -> int:
        """Return its price before tax in minor units, while it is there to be priced."""
        return price_commission(commission).costing.net

    def cost(self, studio: Studio, before: Foretold, after: Foretold) -> Cost:
        undecided = " with the ground undecided" if self.guess else ""
        return Cost(after.scratch.read, f"its price as it stands{undecided}", earned=True)


@dataclass(frozen=True)
class OtherGround:
    """Another ground colour on a panel, with the coats that hide what lies there."""

    panel: Panel
    ground: GroundColour

    def change(self, studio: Studio) -> None:
        panel = Panel.objects.of(studio).for_bench().get(pk=self.panel.pk)
        found, _ = self.reckoned(panel)
        extra, stage = found.extra, ground_stage(panel)
        if stage.coats + extra > MOST_COATS:
            raise Refused(f"That takes {extra} coats more, too many for one stage.", "ground")
        panel.ground_name, panel.ground_colour = self.ground.name[:60], self.ground.colour
        stage.coats, stage.mix = stage.coats + extra, self.ground.mix
        with hold_changes():
            keep_panel(panel)
            keep_step(stage)

    def reckoned(self, panel: Panel) -> tuple[LateCost, bool]:
        """Return what the colour takes now, and whether the paint is in the money.

        Raises Refused where it cannot be laid or reckoned.
        """
        late = deciding_late(panel, tried=None if self.ground.mix else self.ground)
        if late.why_not:
            raise Refused(late.why_not, "panel")
        found = next((one for one in late.costs if same(one.ground, self.ground)), None)
        if found is None:
            raise Refused("That ground is among your colours no more.", "ground")
        if found.extra is None:
            raise Refused(f"‘{self.ground.name}’ never hides what lies there.", "ground")
        return found, late.priced

    def cost(self, studio: Studio, before: Foretold, after: Foretold) -> Cost:
        panel = Panel.objects.of(studio).for_bench().get(pk=self.panel.pk)
        late, priced = self.reckoned(panel)
        if not late.extra:
            return Cost(0, "it takes no coat more")
        paint = "" if priced else ", without the paint"
        why = f"{coat_words(late.extra)} more, {show_minutes(late.minutes)} at the bench{paint}"
        return Cost(late.money, why)


@dataclass(frozen=True)
class AnotherPerson:
    """Another person at the bench from a day to a day, both included; `rate` is hers an hour."""

    first: date
    last: date
    rate: int

    def change(self, studio: Studio) -> None:
        person = Person(
            studio=studio,
            name="Another person",
            is_active=False,
            paints_from=self.first,
            paints_until=self.last,
        )
        keep_record(person)

    def cost(self, studio: Studio, before: Foretold, after: Foretold) -> Cost:
        new = after.asked.people.keys() - before.asked.people.keys()
        sat = sum(
            (row.end - row.start for row in after.plan.sittings if row.person in new), 0 * DAY
        )
        return paid(_minutes(sat), self.rate, studio)


@dataclass(frozen=True)
class WarmerRoom:
    """Another temperature of the room, in °C."""

    temperature: int

    def change(self, studio: Studio) -> None:
        studio.room_temperature = self.temperature
        keep_studio(studio, now=timezone.now())

    def cost(self, studio: Studio, before: Foretold, after: Foretold) -> Cost:
        return Cost(None, "heating is not reckoned here")


@dataclass(frozen=True)
class Overtime:
    """Longer hours from a day to a day, both included: on days worked anyway, or on `every` day.

    `start` and `end` are local hours of one day; `rate` is paid for an hour more.
    """

    first: date
    last: date
    start: time
    end: time
    rate: int
    every: bool = False

    def days(self, studio: Studio) -> list[date]:
        """Return the days the hours fall on, days off left out."""
        span = [self.first + n * DAY for n in range((self.last - self.first).days + 1)]
        rows = studio.days_off.filter(first__lte=self.last, last__gte=self.first)
        off = [(row.first, row.last) for row in rows]
        worked = {row.weekday for row in studio.windows.all()}
        return [
            day
            for day in span
            if (self.every or day.weekday() in worked)
            and not any(first <= day <= last for first, last in off)
        ]

    def change(self, studio: Studio) -> None:
        extra = studio.dated_hours.filter(kind=DatedHours.Kind.EXTRA, person=None)
        there = set(extra.filter(start=self.start, end=self.end).values_list("day", flat=True))
        with hold_changes():
            for day in sorted({*self.days(studio)} - there):
                hours = {"day": day, "start": self.start, "end": self.end, "note": "overtime"}
                keep_record(DatedHours(studio=studio, kind=DatedHours.Kind.EXTRA, **hours))

    def cost(self, studio: Studio, before: Foretold, after: Foretold) -> Cost:
        # Only hours that were not hers already: who asks twice is not paid twice.
        more = _open(after.asked.problem) - _open(before.asked.problem)
        return paid(_minutes(more), self.rate, studio)


def same(one: GroundColour, other: GroundColour) -> bool:
    """Return whether two grounds are one: a recipe by itself, a colour by its name and look."""
    if one.mix or other.mix:
        return one.mix == other.mix
    return (one.name, one.colour) == (other.name, other.colour)


def paid(minutes: int, rate: int, studio: Studio) -> Cost:
    """Return what so many minutes cost at a rate an hour."""
    why = f"{show_minutes(minutes)} at {show_money(rate, studio)} an hour"
    return Cost(round(minutes * rate / 60), why)


def _open(problem: Problem) -> timedelta:
    """Return the hours of all people together."""
    spans = (w.end - w.start for person in problem.people for w in person.windows)
    return sum(spans, 0 * DAY)


def _minutes(stretch: timedelta) -> int:
    return int(stretch.total_seconds() // 60)
