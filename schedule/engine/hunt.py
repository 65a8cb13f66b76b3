"""The hunt for a better plan: orders of commissions, then keys of tasks, all by the decoder."""

from collections.abc import Callable, Collection, Sequence
from dataclasses import dataclass
from math import exp
from random import Random

from schedule.engine.decoder import Run, decode
from schedule.engine.judge import faults
from schedule.engine.keeping import keep_near
from schedule.engine.objective import Score
from schedule.engine.outcome import express
from schedule.engine.pins import Ground, hurried
from schedule.engine.plan import Plan
from schedule.engine.rules import as_before, in_order, most_pressing_first, shortest_first
from schedule.engine.score import DAY, near_starts, score_of, starts_of
from schedule.engine.slots import MICROS
from schedule.engine.works import Works

ORDER_SHARE = 0.3
"""The part of the steps that goes to orders of commissions; measured on prototypes."""
SAMPLE = 24
"""How many moves are tried to find how much a move matters, before any is judged by it. Common
practice, no source."""
HOT, COLD = 0.02, 0.0005
"""The temperature at the start and at the end, in parts of a middling move for the worse. Common
practice, no source."""
ROUND = 500
"""Steps of annealing before it starts anew from the best; longer rounds were measured no better."""
KEEP_SHARE = 0.3
"""The part of the steps that goes to keeping what is near, where there is an older plan. Common
practice, no source."""
KEPT_DAYS = (14, 10, 7, 4)
"""How many days of an older plan are kept as they are, each tried; the first is all the near.
Common practice, no source."""
HOLD_SHARE, LET_GO_SHARE = 0.05, 0.05
"""How often a move holds a task back, and how often it lets one go again. Common practice, no
source."""
LATER = 24 * 3600 * MICROS
"""How long a task is held back at most in one move, in microseconds: a day. Common practice, no
source."""


@dataclass(frozen=True, slots=True)
class Tried:
    """A plan that was tried: its problem laid out, keys, holds (slots), decode and cost."""

    works: Works
    keys: list[float]
    holds: dict[int, int]
    run: Run
    score: Score
    cost: float


@dataclass(frozen=True, slots=True)
class _Kept:
    """What it costs to keep so many days of an older plan, all but the tasks that are freed."""

    cost: float
    days: int
    freed: frozenset[int]


class Hunt:
    """A search from one ground: how far it is, and the best it knows.

    It makes so many plans as are allowed, or fewer once `stop` says so.
    """

    def __init__(
        self,
        ground: Ground,
        *,
        allowed: int,
        old: Plan | None = None,
        calm: bool = True,
        order: Sequence[str] = (),
        told: Callable[[int, float], None] | None = None,
        stop: Callable[[], bool] | None = None,
        seed: int = 1,
    ) -> None:
        self.ground, self.works, self.allowed = ground, ground.works, allowed
        self.near = near_starts(ground.works, old if calm else None)
        self.known = starts_of(ground.works, old)
        number = {commission.key: n for n, commission in enumerate(ground.works.commissions)}
        self.order = [number[key] for key in order]
        self.told, self.stop = told, stop
        self.lot = Random(seed)
        self.steps = 1
        self.stopped = False
        score = score_of(ground.works, ground.run, self.near)
        self.old = old
        self.best = Tried(ground.works, ground.keys, {}, ground.run, score, score.total)

    @property
    def over(self) -> bool:
        """Whether the steps are used up, or somebody has had enough."""
        return self.stopped or self.steps >= self.allowed

    def go(self) -> None:
        """Search: rules, orders, keys, then later starts."""
        works = self.works
        if not works.tasks or not works.hands:
            return
        if self.known:
            self.try_keys(as_before(works, self.known))
        if self.near:
            self._keep_near()
        orders = [shortest_first(works), most_pressing_first(works), self._order_of(self.best)]
        if self.order:
            # The commissions without panels, wherever: they are in no order.
            rest = sorted(set(range(len(works.commissions))) - set(self.order))
            orders.insert(0, [*self.order, *rest])
        tried = [(self._cost_of(order), order) for order in orders if not self.over]
        if tried:
            self._search_orders(*min(tried))
        self._search_keys()
        self._start_later()

    def try_keys(
        self,
        keys: list[float],
        holds: dict[int, int] | None = None,
        works: Works | None = None,
    ) -> Tried | None:
        """Decode, and keep what is best; None where a pin does not hold or the search is over.

        `works` is the problem with more pins than its own.
        """
        if not self._goes_on():
            return None
        holds, works = holds or {}, works or self.works
        run = decode(works, hurried(works, keys), stops=self.ground.stops, holds=holds)
        return None if run.missed else self._judged(works, keys, holds, run)

    def _goes_on(self) -> bool:
        """Count a step, unless it is over."""
        if self.over:
            return False
        if self.stop and self.stop():
            self.stopped = True
            return False
        self.steps += 1
        return True

    def _judged(
        self, works: Works, keys: list[float], holds: dict[int, int], run: Run
    ) -> Tried | None:
        """Return what a decode comes to; None if it stands only by pins that are not there."""
        score = score_of(self.works, run, self.near)
        tried = Tried(works, keys, holds, run, score, score.total)
        if tried.cost < self.best.cost:
            if works is not self.works and self._faults(run):
                return None
            self.best = tried
        if self.told:
            self.told(self.steps, self.best.cost)
        return tried

    def _faults(self, run: Run) -> bool:
        ground = self.ground
        plan = express(self.works, run, ground.stops, ground.dropped)
        return bool(faults(self.works.problem, plan))

    # -- what is near -----------------------------------------------------------------------

    def _keep_near(self) -> None:
        """Keep what is begun before some day, and let what comes later follow in its old order.

        Then free one stage more with what follows it on its panel, as long as that is cheaper: it
        comes after all that is near, so that what takes longer finds room and the rest can stay.
        """
        keys = as_before(self.works, self.known)
        kept = [one for days in KEPT_DAYS if (one := self._kept(keys, days))]
        until = self.steps + int(KEEP_SHARE * (self.allowed - self.steps))
        while kept:
            now = min(kept, key=lambda one: one.cost)
            kept = []
            for t in sorted(set(self.near) - now.freed, key=lambda t: (-self.near[t], t)):
                if self.steps >= until:
                    return
                freed = now.freed | {t}
                one = self._kept(self._put_off(keys, freed), now.days, freed)
                if one and one.cost < now.cost:
                    kept.append(one)

    def _kept(
        self, keys: list[float], days: int, freed: frozenset[int] = frozenset()
    ) -> "_Kept | None":
        if not self._goes_on():
            return None
        until = self.works.now + days * DAY
        kept = keep_near(self.ground, self.old, keys, until=until, freed=freed)
        tried = None if kept.run.missed else self._judged(kept.works, keys, {}, kept.run)
        return tried and _Kept(tried.cost, days, kept.freed)

    def _put_off(self, keys: list[float], tasks: Collection[int]) -> list[float]:
        """Put tasks, and what follows them on their panels, after all that is near."""
        later = {n for t in tasks for n in range(t, self.works.last[self.works.panel_of[t]])}
        return [key + len(self.near) * (t in later) for t, key in enumerate(keys)]

    # -- orders of commissions --------------------------------------------------------------

    def _order_of(self, tried: Tried) -> list[int]:
        """Return the commissions in the order in which a plan takes them up."""
        works = self.works
        first: dict[int, float] = {}
        for t, p in enumerate(works.panel_of):
            c = works.commission_of[p]
            first[c] = min(tried.keys[t], first.get(c, tried.keys[t]))
        return sorted(range(len(works.commissions)), key=lambda c: (first.get(c, 0.0), c))

    def _cost_of(self, order: list[int]) -> float:
        tried = self.try_keys(in_order(self.works, order), works=self.best.works)
        return tried.cost if tried else float("inf")

    def _search_orders(self, cost: float, order: list[int]) -> None:
        """Move commissions about in the order, or swap two, while that does no harm."""
        if len(order) < 3:
            return
        until = self.steps + int(ORDER_SHARE * self.allowed)
        while not self.over and self.steps < until:
            moved = list(order)
            one, other = self.lot.sample(range(len(order)), 2)
            if self.lot.random() < 0.5:
                moved.insert(other, moved.pop(one))
            else:
                moved[one], moved[other] = moved[other], moved[one]
            new = self._cost_of(moved)
            if new <= cost:
                cost, order = new, moved

    # -- keys of tasks ----------------------------------------------------------------------

    def _search_keys(self) -> None:
        """Anneal the keys, from the best so far, at a temperature taken from sampled moves."""
        now = self.best
        worse = []
        for _ in range(SAMPLE):
            tried = self._move(now)
            if tried and tried.cost > now.cost:
                worse.append(tried.cost - now.cost)
        if not worse:
            worse = [1.0]
        middling = sorted(worse)[len(worse) // 2]
        left = max(1, self.allowed - self.steps - self._later_steps())
        rounds = -(-left // ROUND)
        for _ in range(rounds):
            self._anneal(middling * HOT, middling * COLD, left // rounds)

    def _anneal(self, hot: float, cold: float, allowed: int) -> None:
        """Move from the best so far, for the worse too while it is hot, for so many steps."""
        now, begun = self.best, self.steps
        while not self.over and self.steps - begun < allowed:
            heat = hot * (cold / hot) ** ((self.steps - begun) / allowed)
            tried = self._move(now)
            if tried is None:
                continue
            rise = tried.cost - now.cost
            if rise <= 0 or self.lot.random() < exp(-rise / heat):
                now = tried

    def _move(self, now: Tried) -> Tried | None:
        """Shift a panel's tail, a panel or a commission in the order, or hold a task back."""
        works, lot = self.works, self.lot
        chance = lot.random()
        if now.holds and chance < LET_GO_SHARE:
            holds = dict(now.holds)
            del holds[lot.choice(sorted(holds))]
            return self.try_keys(now.keys, holds, now.works)
        t = lot.randrange(len(works.tasks))
        p = works.panel_of[t]
        if chance < LET_GO_SHARE + HOLD_SHARE:
            later = lot.randrange(1, LATER // works.slot)
            held = {t: self._start_of(now, t) + later}
            return self.try_keys(now.keys, now.holds | held, now.works)
        kind = lot.randrange(3)
        # The places there are, not the keys' own spread, which every far shift would widen.
        by = lot.gauss(0, len(now.keys) * 10 ** -lot.uniform(0, 2.5))
        keys = list(now.keys)
        if kind == 0:
            shifted = range(t, works.last[p])
        elif kind == 1:
            shifted = range(works.first[p], works.last[p])
        else:
            c = works.commission_of[p]
            shifted = [n for n, q in enumerate(works.panel_of) if works.commission_of[q] == c]
        for n in shifted:
            keys[n] += by
        return self.try_keys(keys, now.holds, now.works)

    def _start_of(self, tried: Tried, t: int) -> int:
        slot = self.works.slot
        return next((start // slot for start, _, n, _ in tried.run.sittings if n == t), 0)

    # -- later starts -----------------------------------------------------------------------

    def _later_steps(self) -> int:
        return min(3 * len(self.works.commissions), self.allowed // 10)

    def _start_later(self) -> None:
        """Begin panels later where that costs nothing else: less time from touch to finish."""
        for part, whole in ((1.0, False), (0.5, True), (0.5, False)):
            for c in range(len(self.works.commissions)):
                if held := self._held(self.best, c, part, whole=whole):
                    self.try_keys(self.best.keys, self.best.holds | held, self.best.works)

    def _held(self, now: Tried, c: int, part: float, *, whole: bool) -> dict[int, int]:
        """Return slots to hold the first tasks of a commission's panels to.

        Each panel moves by a part of what it is done before the commission is, or all of them, as
        a `whole`, by a part of what the commission takes longer than its longest panel needs.
        """
        works = self.works
        mine = [p for p, one in enumerate(works.commission_of) if one == c]
        starts: dict[int, tuple[int, int]] = {}
        for start, _, t, _ in now.run.sittings:
            p = works.panel_of[t]
            if works.commission_of[p] == c and not works.begun[p]:
                starts[p] = min(starts.get(p, (start, t)), (start, t))
        if not starts:
            return {}
        finish = max(now.run.ready[p] for p in mine)
        longest = max(works.tail[t] for _, t in starts.values())
        idle = finish - longest - min(starts.values())[0]
        spare = {p: idle if whole else finish - now.run.ready[p] for p in starts}
        return {
            t: (start + int(part * spare[p])) // works.slot
            for p, (start, t) in starts.items()
            if part * spare[p] >= works.slot
        }
