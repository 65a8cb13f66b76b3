"""The answer to a question put to the programme: days and money, before and after."""

from dataclasses import dataclass
from datetime import date, datetime

from jobs.models import Commission
from quotes.domain.promise import Promise, promise_of
from quotes.domain.questions import Cost, OneMore, Question
from schedule.domain.scratch import Foretold, as_it_stands, as_it_would_be, foretell
from schedule.engine.plan import TroubleKind
from studio.models import Studio


@dataclass(frozen=True)
class Days:
    """When a commission is ready by the plan, likely and surely; None for none that is known."""

    ready: date | None
    likely: date | None
    surely: date | None


@dataclass(frozen=True)
class Effect:
    """What a change does to one commission; `before` is None for one that it brings."""

    commission: Commission
    before: Days | None
    after: Days

    @property
    def later(self) -> int | None:
        """Return by how many days it is ready later by the plan, less than 0 for earlier."""
        return self._later("ready")

    @property
    def moved(self) -> bool:
        return self.before != self.after

    @property
    def turns_late(self) -> bool:
        return self._late(self.after) and not (self.before and self._late(self.before))

    @property
    def turns_in_time(self) -> bool:
        return bool(self.before) and self._late(self.before) and not self._late(self.after)

    @property
    def rows(self) -> list[tuple[str, date | None, date | None, int | None]]:
        """Return (name, before, after, days later) of the three days that are told."""
        return [
            (name, getattr(self.before, name, None), getattr(self.after, name), self._later(name))
            for name in ("ready", "likely", "surely")
        ]

    def _later(self, name: str) -> int | None:
        before, after = getattr(self.before, name, None), getattr(self.after, name)
        return (after - before).days if before and after else None

    def _late(self, days: Days) -> bool:
        wanted = self.commission.wanted
        return bool(wanted) and (days.ready is None or days.ready > wanted)


@dataclass(frozen=True)
class Answer:
    """What a change would do: to each commission, those that move first, and to the money.

    `troubles` is what the plan could not do then that it can do now, `promise` that of a commission
    which the change brings.
    """

    effects: tuple[Effect, ...]
    cost: Cost
    troubles: tuple[str, ...]
    promise: Promise | None = None

    @property
    def moved(self) -> list[Effect]:
        return [effect for effect in self.effects if effect.moved]

    @property
    def same(self) -> list[Effect]:
        return [effect for effect in self.effects if not effect.moved]

    @property
    def late(self) -> list[Commission]:
        return [effect.commission for effect in self.effects if effect.turns_late]

    @property
    def in_time(self) -> list[Commission]:
        return [effect.commission for effect in self.effects if effect.turns_in_time]


def answer(question: Question, studio: Studio, *, now: datetime) -> Answer:
    """Try a change on a scratch copy and return what it does; nothing of it stays.

    Raises Refused, with its field, where the change cannot be made.
    """
    read = question.read if isinstance(question, OneMore) else None
    tried = as_it_would_be(studio, question.change, now=now, read=read)
    before, after = foretell(as_it_stands(studio, now=now)), foretell(tried)
    days_before, days_after = _days(before, studio), _days(after, studio)
    effects = [
        Effect(after.asked.commissions[key], days_before.get(key), days)
        for key, days in days_after.items()
    ]
    effects.sort(key=lambda effect: (effect.after.ready or date.max, effect.commission.number))
    new = next((effect.commission for effect in effects if not effect.before), None)
    known = set(_troubles(before))
    return Answer(
        effects=tuple(effects),
        cost=question.cost(studio, before, after),
        troubles=tuple(one for one in _troubles(after) if one not in known),
        promise=promise_of(new, after, alone=False) if new else None,
    )


def _days(foretold: Foretold, studio: Studio) -> dict[str, Days]:
    def day(moment: datetime | None) -> date | None:
        return moment.astimezone(studio.zone).date() if moment else None

    found = {}
    for row in foretold.plan.finishes:
        outlook = foretold.outlooks[int(row.commission)]
        found[row.commission] = Days(day(row.finish), day(outlook.likely), day(outlook.surely))
    return found


def _troubles(foretold: Foretold) -> list[str]:
    """Return the plan's troubles in words, but for lateness, which the days tell."""
    finishes = {row.commission: row.finish for row in foretold.plan.finishes}
    troubles = [one for one in foretold.plan.troubles if one.kind != TroubleKind.LATE]
    return foretold.asked.told_together(troubles, finishes)
