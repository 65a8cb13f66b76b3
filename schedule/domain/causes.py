"""What a plan was made from, in short, and what of it is another than for the plan before."""

from collections.abc import Iterator
from dataclasses import dataclass, replace
from datetime import UTC, date, datetime, timedelta
from hashlib import sha256

from jobs.domain.gates import half_day
from jobs.models import Commission
from jobs.paint.gates import quarter_up
from schedule.domain.problem import StudioProblem
from schedule.engine import problem as engine
from schedule.engine.problem import EPOCH, SLOT
from studio.formats import show_date, show_day, show_minutes, show_stretch, show_time
from studio.models import Studio

DAYS = 56
"""How far ahead hours are compared day by day: eight weeks, twice the near time she can move."""
TOLD_EACH = 3
"""So many changes of one kind are told one by one, more of them in one sentence."""
LEAST, FELT = timedelta(minutes=15), timedelta(minutes=1)
"""From how much on it is told that a coat dries at another time; a finger's word always is."""


@dataclass(frozen=True)
class Causes:
    """Why a plan is another, in sentences.

    `told` are changes of what it is made from; `along` is how the work itself went on, which is
    worth telling only where it moved something.
    """

    told: tuple[str, ...]
    along: tuple[str, ...]


def inputs_of(asked: StudioProblem, studio: Studio) -> dict:
    """Return what a problem is made from, short enough to be kept with each plan (JSON)."""
    problem, zone = asked.problem, studio.zone
    tasks = {task.key: (panel, task) for panel in problem.panels for task in panel.tasks}
    return {
        "day": problem.now.astimezone(zone).date().isoformat(),
        "room": [studio.room_temperature, studio.room_humidity, studio.room_airing],
        "people": {key: person.name for key, person in asked.people.items()},
        "commissions": {
            key: [one.title, one.wanted.isoformat() if one.wanted else "", one.weight]
            for key, one in asked.commissions.items()
        },
        "panels": {
            panel.key: [
                asked.panels[panel.key].title,
                panel.commission,
                _iso(panel.not_before),
            ]
            for panel in problem.panels
        },
        "work": {
            key: [
                panel.key,
                _coat_name(asked, key),
                task.minutes,
                int(task.gate.wait.total_seconds() // 60) if task.gate else 0,
                _iso(task.not_before),
            ]
            for key, (panel, task) in tasks.items()
        },
        "gates": {f"{one.stage.pk}:{one.coat}": _iso(one.opens) for one in asked.gates},
        "running": [key for key, (_, task) in tasks.items() if task.begun_by],
        "hours": {one.key: _hours(one, problem.now, studio) for one in problem.people},
        "pins": [[pin.task, _iso(pin.start)] for pin in problem.pins if pin.firm],
        "rack": problem.rack or 0,
    }


def digest_of(asked: StudioProblem) -> str:
    """Return a digest of all that a plan depends on, but for the minute it is made in."""
    problem = asked.problem
    panels = [
        replace(panel, tasks=(_any_length(panel.tasks[0]), *panel.tasks[1:]))
        if panel.tasks and panel.tasks[0].begun_by
        else panel
        for panel in problem.panels
    ]
    people = [
        (one.key, sorted(one.skills), [(w.start - EPOCH, w.end - EPOCH) for w in one.windows])
        for one in problem.people
    ]
    rest = (problem.commissions, problem.faces, problem.rack, problem.pins, problem.freeze)
    return sha256(repr((panels, people, rest)).encode()).hexdigest()


def _any_length(begun: engine.Task) -> engine.Task:
    """Return a task at work without its minutes, which grow less as she works.

    Those of a sitting too: a coat that must not be broken is one sitting of all that is left.
    """
    return replace(begun, minutes=1, shortest=1, longest=1, set_up=0)


def _coat_name(asked: StudioProblem, task: str) -> str:
    stage, coat = asked.stage_and_coat(task)
    return stage.coat_name(coat)


def _iso(moment: datetime | None) -> str:
    return moment.astimezone(UTC).isoformat() if moment else ""


def _hours(person: engine.Person, now: datetime, studio: Studio) -> dict[str, int]:
    """Return the open minutes of each local day of the coming weeks that has any."""
    today = now.astimezone(studio.zone).date()
    last = today + timedelta(days=DAYS)
    open_minutes: dict[str, int] = {}
    for window in person.windows:
        day = window.start.astimezone(studio.zone).date()
        if day > last:
            break
        minutes = int((window.end - window.start).total_seconds() // 60)
        open_minutes[day.isoformat()] = open_minutes.get(day.isoformat(), 0) + minutes
    return open_minutes


def causes(
    before: dict,
    after: dict,
    asked: StudioProblem,
    studio: Studio,
    *,
    starts: dict[str, datetime],
    gates: dict[str, datetime],
) -> Causes:
    """Return why a plan is another than the one before.

    `before` and `after` are what the two were made from (`inputs_of`); `starts` and `gates` say
    when the old plan would have begun each coat, and had it dry.
    """
    if not before:
        return Causes((), ())
    tale = _Tale(before, after, asked, studio, starts, gates)
    told = (
        *tale.dry(), *tale.room(), *tale.hours(), *tale.hands(), *tale.commissions(),
        *tale.work(), *tale.waits(), *tale.earliest(), *tale.fixed(),
    )  # fmt: skip
    return Causes(told, tuple(tale.along()))


@dataclass(frozen=True)
class _Tale:
    before: dict
    after: dict
    asked: StudioProblem
    studio: Studio
    starts: dict[str, datetime]
    gates: dict[str, datetime]

    def name(self, task: str) -> str:
        """Return a coat with its panel, whichever of the two plans still knows it."""
        panel, name, *_ = self.after["work"].get(task) or self.before["work"].get(task) or ("", "")
        if not name:
            stage, coat = self.asked.stage_and_coat(task)
            return f"{stage.coat_name(coat)} ({stage.panel.title})"
        title = (self.after["panels"].get(panel) or self.before["panels"].get(panel))[0]
        return f"{name} ({title})"

    def moment(self, iso: str | datetime) -> str:
        moment = datetime.fromisoformat(iso) if isinstance(iso, str) else iso
        return f"{show_day(moment, self.studio)} {show_time(moment, self.studio)}"

    def dry_by(self, opens: datetime) -> str:
        """Return when a coat is dry, to the quarter only while somebody may be there."""
        told = quarter_up(opens)
        if any(
            one.start <= told < one.end
            for person in self.asked.problem.people
            for one in person.windows
        ):
            return self.moment(told)
        day, half = half_day(opens, self.studio)
        return f"{show_day(day, self.studio)} {half}"

    def dry(self) -> Iterator[str]:
        """Coats that dry sooner or later than the old plan counted on."""
        felt = {f"{one.stage.pk}:{one.coat}" for one in self.asked.gates if one.moved_by}
        for task, opens in self.after["gates"].items():
            known = self.before["gates"].get(task)
            was = datetime.fromisoformat(known) if known else self.gates.get(task)
            now = datetime.fromisoformat(opens)
            if was and abs(now - was) >= (FELT if task in felt else LEAST):
                when = "later" if now > was else "sooner"
                then, before = self.dry_by(now), self.dry_by(was)
                if then != before:
                    yield f"{self.name(task)} dries {when}: {then} instead of {before}."
                elif task in felt:
                    yield f"{self.name(task)} dries {when}, but by {then} as before."

    def room(self) -> Iterator[str]:
        (warm, damp, airing), (now_warm, now_damp, now_airing) = (
            self.before["room"], self.after["room"],
        )  # fmt: skip
        if warm != now_warm:
            yield f"The room has {now_warm} °C instead of {warm} °C."
        if damp != now_damp:
            yield f"The air is at {now_damp} % instead of {damp} %."
        if airing != now_airing:
            yield f"The air in the room is {self.studio.get_room_airing_display()} now."

    def hours(self) -> Iterator[str]:
        first = max(self.before["day"], self.after["day"])
        until = date.fromisoformat(min(self.before["day"], self.after["day"]))
        last = (until + timedelta(days=DAYS)).isoformat()
        told: dict[tuple, list[str]] = {}
        both = [key for key in self.after["hours"] if key in self.before["hours"]]
        for key in both:
            was, now = self.before["hours"][key], self.after["hours"][key]
            days = sorted(day for day in {*was, *now} if first <= day <= last)
            new = tuple(
                (day, was.get(day, 0), now.get(day, 0))
                for day in days
                if was.get(day, 0) != now.get(day, 0)
            )
            if new:
                told.setdefault(new, []).append(key)
        for new, keys in told.items():
            names = ", ".join(self.after["people"][key] for key in keys)
            yield from self._days(new, "" if len(keys) == len(both) else f"{names}: ")

    def _days(self, new: tuple, whose: str) -> Iterator[str]:
        if len(new) > TOLD_EACH:
            first = show_day(date.fromisoformat(new[0][0]), self.studio)
            yield f"{whose}Hours are others on {len(new)} days from {first} on."
            return
        for day, was, now in new:
            hours = f"{show_minutes(now)} of work" if now else "no work"
            before = show_minutes(was) if was else "none"
            yield (
                f"{whose}{show_day(date.fromisoformat(day), self.studio)} has {hours} instead of "
                f"{before}."
            )

    def hands(self) -> Iterator[str]:
        for key, name in self.after["people"].items():
            if key not in self.before["people"]:
                yield f"{name} paints too."
        for key, name in self.before["people"].items():
            if key not in self.after["people"]:
                yield f"{name} paints no more."

    def commissions(self) -> Iterator[str]:
        was, now = self.before["commissions"], self.after["commissions"]
        for key, (title, wanted, weight) in now.items():
            if key not in was:
                yield f"‘{title}’ is taken on."
                continue
            if was[key][2:] not in ([], [weight]):
                matters = Commission.Weight(weight).label
                yield f"The date of ‘{title}’ matters {matters} now."
            if was[key][1] != wanted:
                day = f"by {self._date(wanted)}" if wanted else "by no certain day"
                instead = self._date(was[key][1]) if was[key][1] else "no certain day"
                yield f"‘{title}’ is wanted {day} instead of {instead}."
        for key, (title, *_) in was.items():
            if key not in now:
                yield f"‘{title}’ is no longer in hand."

    def _date(self, iso: str) -> str:
        return show_date(date.fromisoformat(iso), self.studio)

    def work(self) -> Iterator[str]:
        """Coats that are new, gone, or take longer or shorter, told by the panel."""
        was, now = self.before["work"], self.after["work"]
        for key, (title, commission, _) in self.after["panels"].items():
            if key not in self.before["panels"] and commission in self.before["commissions"]:
                yield f"{title} is new."
        for key, (title, commission, _) in self.before["panels"].items():
            if key not in self.after["panels"] and commission in self.after["commissions"]:
                yield f"{title} is taken out."
        new = [key for key in now if key not in was and now[key][0] in self.before["panels"]]
        gone = [
            key
            for key in was
            if key not in now and was[key][0] in self.after["panels"] and not self._done(key)
        ]
        longer = [
            key for key in now if key in was and self._at_rest(key) and now[key][2] != was[key][2]
        ]
        yield from self._several(new, "is to do now", "coats are to do that were not")
        yield from self._several(gone, "is not to do any more", "coats are not to do any more")
        if len(longer) > TOLD_EACH:
            more = sum(now[key][2] - was[key][2] for key in longer)
            which = "more" if more >= 0 else "less"
            yield f"{len(longer)} coats are {show_minutes(abs(more))} {which} work in all."
            return
        for key in longer:
            yield (
                f"{self.name(key)} is {show_minutes(now[key][2])} of work instead of "
                f"{show_minutes(was[key][2])}."
            )

    def _several(self, keys: list[str], one: str, many: str) -> Iterator[str]:
        if len(keys) > TOLD_EACH:
            yield f"{len(keys)} {many}."
            return
        for key in keys:
            yield f"{self.name(key)} {one}."

    def _done(self, task: str) -> bool:
        pk, coat = task.split(":")
        stage = self.asked.stages.get(int(pk))
        return stage is not None and int(coat) <= stage.coats_done

    def _waits_for_her(self, task: str) -> bool:
        return task not in self.after["running"] and self._at_rest(task)

    def _at_rest(self, task: str) -> bool:
        """Return whether nothing was begun on a coat, so that its minutes are those reckoned."""
        stage, coat = self.asked.stage_and_coat(task)
        begun = stage.coats_done + 1 == coat and any(
            not one.finishes_coat for one in stage.sittings.all()
        )
        return not begun

    def waits(self) -> Iterator[str]:
        """Coats to come that are counted on to dry otherwise, unless the room says so already."""
        if self.before["room"] != self.after["room"]:
            return
        was, now = self.before["work"], self.after["work"]
        other = [key for key in now if key in was and abs(now[key][3] - was[key][3]) >= 15]
        if len(other) > TOLD_EACH:
            slower = sum(now[key][3] > was[key][3] for key in other)
            how = {len(other): "slower", 0: "quicker"}.get(slower, "otherwise")
            yield f"{len(other)} coats to come are counted on to dry {how}."
            return
        for key in other:
            waits = [
                show_stretch(timedelta(minutes=one), self.studio)
                for one in (now[key][3], was[key][3])
            ]
            yield f"{self.name(key)} is counted on to take {waits[0]} to dry instead of {waits[1]}."

    def earliest(self) -> Iterator[str]:
        """Pieces that arrive, colours agreed and material that comes on another day."""
        for key, (title, _, start) in self.after["panels"].items():
            known = self.before["panels"].get(key)
            if known and known[2] != start:
                yield self._from(title, start)
        other = [
            key
            for key, row in self.after["work"].items()
            if key in self.before["work"] and self.before["work"][key][4] != row[4]
        ]
        if len(other) > TOLD_EACH:
            yield f"{len(other)} coats may begin from another day on."
            return
        for key in other:
            yield self._from(self.name(key), self.after["work"][key][4])

    def _from(self, name: str, start: str) -> str:
        if not start:
            return f"{name} may begin any day now."
        return f"{name} may begin from {self.moment(start)} on."

    def fixed(self) -> Iterator[str]:
        was, now = self.before["pins"], self.after["pins"]
        for task, start in now:
            if [task, start] not in was:
                yield f"You fixed {self.name(task)} for {self.moment(start)}."
        for task, start in was:
            if [task, start] not in now and task in self.after["work"] and self._ahead(start):
                yield f"You let go of {self.name(task)}, fixed for {self.moment(start)}."
        if self.before["rack"] != self.after["rack"]:
            room = self.after["rack"]
            yield f"The drying rack holds {room or 'as many parts as there are'} now."

    def _ahead(self, start: str) -> bool:
        return datetime.fromisoformat(start) >= self.asked.problem.now

    def along(self) -> Iterator[str]:
        """What was begun, done, or not begun when it was planned."""
        now = self.asked.problem.now
        for task in self.after["running"]:
            if task not in self.before["running"]:
                yield f"{self.name(task)} is begun."
        for task in self.before["work"]:
            if task not in self.after["work"] and self._done(task):
                yield f"{self.name(task)} is done."
        waiting = set()
        for task, start in sorted(self.starts.items(), key=lambda pair: (pair[1], pair[0])):
            late = start <= now - SLOT and task in self.after["work"]
            panel = self.after["work"][task][0] if late else ""
            # What follows on the panel could not be begun either.
            if late and panel not in waiting and self._waits_for_her(task):
                waiting.add(panel)
                yield f"{self.name(task)} was planned for {self.moment(start)} and is not begun."
