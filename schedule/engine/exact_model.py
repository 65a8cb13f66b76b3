"""Some commissions as a model for the constraint solver, and its answer as a plan.

Where the model says a little more than the rules do, it finds less; where it says less, the judge
turns down what comes of it.
"""

from collections.abc import Collection, Iterator, Mapping

from schedule.engine import objective
from schedule.engine.cp.model import Cumulative, Delivery, Exclusive, Lag, Model, Span, Total, Unary
from schedule.engine.cp.model import Task as Stretch
from schedule.engine.cp.solve import Answer
from schedule.engine.decoder import Run
from schedule.engine.hands import OpenTime, can_cut
from schedule.engine.problem import NIGHT
from schedule.engine.works import MICRO, Works

LATE = int(objective.LATE)
FEW = 60
"""Up to so many sittings, each stage may be cut in every way there is; beyond, it stays cut as it
was: sittings of no fixed length leave the solver blind to how much work there is in all."""


class Puzzle:
    """The model of some commissions; steps are slots from the present on.

    `sat` are the sittings of each of their tasks in the plan to begin with, `fixed` the tasks that
    keep them, `taken` what else its people do.
    """

    def __init__(
        self,
        works: Works,
        run: Run,
        freed: Collection[int],
        soonest: Mapping[int, int] | None = None,
    ) -> None:
        self.works, self.run = works, run
        self.soonest = soonest or {}
        self.panels = [p for p, c in enumerate(works.commission_of) if c in freed]
        self.commissions = sorted(set(freed))
        self.tasks = [
            t for p in self.panels for t in range(works.first[p], works.last[p]) if works.work[t]
        ]
        self.sat: dict[int, list[Span]] = {t: [] for t in self.tasks}
        self.person: dict[int, int] = {}
        self.taken: list[list[Span]] = [[] for _ in works.hands]
        self.fixed = {t for t in self.tasks if self._stays(t)}
        for start, end, t, place in sorted(run.sittings):
            span = max(0, start // works.slot - works.present), end // works.slot - works.present
            if t in self.sat:
                self.sat[t].append(span)
                self.person[t] = place
            if t not in self.sat or t in self.fixed:
                self.taken[place].append(span)
        over = max(run.ready[p] for p in self.panels)
        later = 0 if len(self.commissions) == 1 else over - works.now
        self.horizon = -(-(over + later // 4) // works.slot) - works.present
        self.few = sum(self._most(t) for t in self.tasks) <= FEW
        self.parts = {t: [f"{t}.{n}" for n in range(self._count(t))] for t in self.tasks}
        self.hint: dict[str, Span] = {}

    def _stays(self, t: int) -> bool:
        """Say whether a task is pinned, running, or worked into a coat that is wet now."""
        works, p = self.works, self.works.panel_of[t]
        head = t == works.first[p] or works.begun[p]
        waited_for = works.within[t] is not None and works.touched[p] is not None
        return t in works.pinned or (head and (works.begun[p] or waited_for))

    def _in_wet_run(self, t: int) -> bool:
        return self.works.within[t] is not None or self.works.run_end[t] > t + 1

    def _is_loose(self, t: int) -> bool:
        """Say whether a task may be cut otherwise than it is."""
        short = any(end - start < self.works.shortest[t] for start, end in self.sat[t])
        return not (t in self.fixed or self._in_wet_run(t) or short)

    def _most(self, t: int) -> int:
        """Return how many sittings a task may be cut into at most."""
        work = sum(end - start for start, end in self.sat[t])
        most = max(len(self.sat[t]), work // self.works.shortest[t])
        return most if self._is_loose(t) else len(self.sat[t])

    def _count(self, t: int) -> int:
        return self._most(t) if self.few else len(self.sat[t])

    def _sure(self, t: int) -> int:
        """Return how many sittings a task has at least in the model."""
        return 1 if self.few and self._most(t) > 1 and self._is_loose(t) else len(self.sat[t])

    def is_faithful(self) -> bool:
        """Say whether the model allows every plan that the rules do, of one commission alone."""
        works = self.works
        waits = [*works.wait, *works.wet]
        racked = works.problem.rack is not None and any(p.rack for p in works.panels)
        whole = all(
            len(self.parts[t]) == max(1, works.work[t] // works.shortest[t]) for t in self.tasks
        )
        return (
            len(works.commissions) == 1
            and len(works.hands) == 1
            and whole
            and all(self._needs_no_short_sitting(t) for t in self.tasks)
            and not (self.fixed or racked or any(works.saved) or works.pins)
            and not any(wait % works.slot for wait in waits)
        )

    def _needs_no_short_sitting(self, t: int) -> bool:
        works, end = self.works, self.works.present + self.horizon
        (hours,) = works.hands
        longest = min(works.longest[t], hours.room(end, hours.place(end)))
        single = works.shortest[t] == 1 or works.work[t] <= works.shortest[t]
        return single or can_cut(works.work[t], works.shortest[t], longest)

    # -- the model --------------------------------------------------------------------------

    def model(self) -> Model:
        """Return the model, and with it the hint."""
        stretches, lags = [], []
        for p in self.panels:
            self._lay_out(p, stretches, lags)
        apart = tuple(self._apart(stretches, lags))
        room = self._rack(stretches, lags)
        lags += self._palettes()
        return Model(
            self.horizon,
            tuple(stretches),
            tuple(lags),
            tuple(
                Total(tuple(self.parts[t]), sum(end - start for start, end in self.sat[t]))
                for t in self.tasks
                if t not in self.fixed
            ),
            tuple(self._hands(place) for place in range(len(self.works.hands))),
            room,
            apart,
            tuple(self._delivery(c) for c in self.commissions),
        )

    def _slots(self, length: int) -> int:
        return -(-length // self.works.slot)

    def _lay_out(self, p: int, stretches: list[Stretch], lags: list[Lag]) -> None:
        """Add the sittings of a panel, in order, with the waits between."""
        works = self.works
        wait, before = 0, None
        floor = max(works.opens[p], works.now, self._bare_from(p))
        for t in range(works.first[p], works.last[p]):
            floor = max(floor, works.release[t])
            if not works.work[t]:
                wait, floor = wait + works.wait[t], floor + works.wait[t]
                continue
            stretches += self._sittings(t, self._slots(floor) - works.present)
            lags += self._in_order(t)
            if before is not None:
                lags += self._after(before, t, self._slots(wait))
            before, wait, floor = t, works.wait[t], 0

    def _bare_from(self, p: int) -> int:
        """Return when the face that a panel lies on is dry of what is wet already."""
        works, face = self.works, self.works.face_of[p]
        beneath = works.lies_on[face] if face >= 0 else ()
        return max(
            (works.wet_until[q] for q, f in enumerate(works.face_of) if f in beneath), default=0
        )

    def _sittings(self, t: int, ready: int) -> Iterator[Stretch]:
        works, sat = self.works, self.sat[t]
        for n, key in enumerate(self.parts[t]):
            spare = n >= self._sure(t)
            start, end = sat[n] if n < len(sat) else (sat[-1][1], sat[-1][1])
            self.hint[key] = start, end - start
            if t in self.fixed:
                yield Stretch(key, end - start, end - start, start=start)
                continue
            if not self.few:
                yield Stretch(key, end - start, end - start, ((max(0, ready), self.horizon + 1),))
                continue
            least = works.shortest[t] if spare else min(works.shortest[t], end - start)
            needs = self.parts[t][n - 1] if n > self._sure(t) else ""
            starts = () if spare else ((max(0, ready), self.horizon + 1),)
            yield Stretch(
                key, least, max(least, works.longest[t]), starts, may_be_empty=spare, needs=needs
            )

    def _in_order(self, t: int) -> Iterator[Lag]:
        """The sittings of a task in order, a slot apart."""
        pause = int(t not in self.fixed)
        for one, other in zip(self.parts[t], self.parts[t][1:], strict=False):
            yield Lag(one, other, 0, from_end=True)
            yield Lag(one, other, pause, from_end=True, unless_empty=True)
        if t not in self.fixed:
            work = sum(end - start for start, end in self.sat[t])
            pauses = self._sure(t) - 1
            yield Lag(self.parts[t][0], self.parts[t][-1], work + pauses, to_end=True)

    def _after(self, before: int, t: int, wait: int) -> Iterator[Lag]:
        """The wait between two tasks, and how long the second may take to be worked in."""
        if before in self.fixed and t in self.fixed:
            return
        for key in self.parts[before][self._sure(before) - 1 :]:
            yield Lag(key, self.parts[t][0], wait, from_end=True, unless_empty=True)
        if self.works.within[t] is not None:
            most = self.works.within[t] // self.works.slot
            last, end = self.parts[before][-1], self.parts[t][-1]
            yield Lag(last, end, None, most, from_end=True, to_end=True)

    # -- wet paint --------------------------------------------------------------------------

    def _apart(self, stretches: list[Stretch], lags: list[Lag]) -> Iterator[Exclusive]:
        """Yield what keeps a face from being worked while one that it lies on is wet.

        A spare sitting that is empty may lie where its face is wet anyway.
        """
        works = self.works
        worked: dict[int, list[str]] = {}
        wet: dict[int, list[str]] = {}
        for t in self.tasks:
            face = works.face_of[works.panel_of[t]]
            if face < 0 or not (works.lies_on[face] or works.borne_by[face]):
                continue
            size = self._slots(works.wet[t])
            for key in self.parts[t]:
                least, most = (0, self.horizon) if self.few else (self.hint[key][1],) * 2
                stretches.append(Stretch(f"{key} wet", size + least, size + most))
                lags.append(Lag(key, f"{key} wet", 0, 0))
                lags.append(Lag(key, f"{key} wet", size, size, from_end=True, to_end=True))
                self.hint[f"{key} wet"] = self.hint[key][0], self.hint[key][1] + size
                worked.setdefault(face, []).append(key)
                wet.setdefault(face, []).append(f"{key} wet")
        for face in sorted(worked):
            for beneath in works.lies_on[face]:
                both = face in works.lies_on[beneath]
                if beneath in wet and not (both and beneath < face):
                    above = wet[face] if both else worked[face]
                    yield Exclusive((tuple(above), tuple(wet[beneath])))

    def _rack(self, stretches: list[Stretch], lags: list[Lag]) -> tuple[Cumulative, ...]:
        """Return the room on the rack: a part has its place from the first sitting of a coat on."""
        works, racked = self.works, []
        if works.problem.rack is None:
            return ()
        for t in self.tasks:
            size = self._slots(works.wet[t])
            if not works.panels[works.panel_of[t]].rack or not size:
                continue
            key, first = f"{t} rack", self.hint[self.parts[t][0]]
            stretches.append(Stretch(key, size, self.horizon))
            lags.append(Lag(self.parts[t][0], key, 0, 0, from_end=True))
            for part in self.parts[t][self._sure(t) - 1 :]:
                lags.append(
                    Lag(part, key, size, None, from_end=True, to_end=True, unless_empty=True)
                )
            end = self.sat[t][-1][1] + size
            self.hint[key] = sum(first), end - sum(first)
            racked.append((key, 1))
        for n, (start, end) in enumerate(self._racked_already()):
            stretches.append(Stretch(f"rack {n}", end - start, end - start, start=start))
            racked.append((f"rack {n}", 1))
        return (Cumulative(works.problem.rack, tuple(racked)),) if racked else ()

    def _racked_already(self) -> Iterator[Span]:
        """Yield when what is not planned here has a place on the rack."""
        works = self.works
        ends: dict[int, Span] = {}
        for _, end, t, _ in sorted(self.run.sittings):
            p = works.panel_of[t]
            if t not in self.sat and works.panels[p].rack and works.wet[t]:
                laid = ends.get(t, (end, end))[0]
                ends[t] = laid, end + works.wet[t]
        until = [
            (works.now, works.wet_until[p]) for p, panel in enumerate(works.panels) if panel.rack
        ]
        for start, end in (*ends.values(), *until):
            span = max(0, start // works.slot - works.present), self._slots(end) - works.present
            if span[0] < min(span[1], self.horizon):
                yield span[0], min(span[1], self.horizon)

    # -- people -----------------------------------------------------------------------------

    def _hands(self, place: int) -> Unary:
        """Return a person's sittings to place, and her closed time."""
        hours: OpenTime = self.works.hands[place]
        closed, at = [span for span in self.taken[place] if span[0] < span[1]], 0
        for opens, closes in zip(hours.starts, hours.ends, strict=True):
            first = min(opens - self.works.present, self.horizon)
            if first > at:
                closed.append((at, first))
            at = max(at, closes - self.works.present)
        if at < self.horizon:
            closed.append((at, self.horizon))
        free = (t for t in self.tasks if t not in self.fixed and self.person[t] == place)
        return Unary(tuple(key for t in free for key in self.parts[t]), tuple(closed))

    def _palettes(self) -> Iterator[Lag]:
        """Keep what shares a set-up soon after what it shares it with: before any night."""
        works = self.works
        most = NIGHT // MICRO // works.slot - 1
        sat = sorted((sat, t) for t in self.tasks for sat in self.sat[t])
        for t in self.tasks:
            work = sum(end - start for start, end in self.sat[t])
            if t in self.fixed or not works.saved[t] or work >= works.work[t]:
                continue
            start = self.sat[t][0][0]
            same = [
                (span[1], u, self.sat[u].index(span))
                for span, u in sat
                if u != t and works.mix[u] == works.mix[t] and self.person[u] == self.person[t]
                if start - most <= span[1] <= start
            ]
            if same:
                _, u, n = max(same)
                yield Lag(self.parts[u][n], self.parts[t][0], 0, most, from_end=True)

    # -- what it costs, and what comes back -------------------------------------------------

    def _delivery(self, c: int) -> Delivery:
        works = self.works
        ends: list[tuple[str, int]] = []
        for p in (p for p in self.panels if works.commission_of[p] == c):
            wait = 0
            for t in range(works.last[p] - 1, works.first[p] - 1, -1):
                wait += works.wait[t]
                if works.work[t]:
                    last = self._sure(t) - 1
                    ends += [(key, self._slots(wait)) for key in self.parts[t][last:]]
                    break
        wanted = works.wanted[c]
        due = None if wanted is None else max(0, self._slots(wanted) - works.present)
        soonest = self.soonest.get(c, works.now) // works.slot - works.present
        return Delivery(tuple(ends), due, LATE * works.weight[c], soonest=max(0, soonest))

    def run_of(self, answer: Answer) -> Run:
        """Return the plan that an answer stands for."""
        works, old = self.works, self.run
        kept = [one for one in old.sittings if one[2] not in self.sat or one[2] in self.fixed]
        ends = {t: end for _, end, t, _ in sorted(kept)}
        for t in (t for t in self.tasks if t not in self.fixed):
            for key in self.parts[t]:
                start, size = answer.starts[key] + works.present, answer.sizes[key]
                if size:
                    ends[t] = max((start + size) * works.slot, ends.get(t, 0))
                    kept.append(
                        (start * works.slot, (start + size) * works.slot, t, self.person[t])
                    )
        ready = list(old.ready)
        for p in self.panels:
            at = works.opens[p]
            for t in range(works.first[p], works.last[p]):
                at = ends.get(t, max(at, works.release[t])) + works.wait[t]
            ready[p] = at
        return Run(sorted(kept), old.cursor, ready, old.planned, [], old.set_tasks)
