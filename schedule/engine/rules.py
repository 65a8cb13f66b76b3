"""Keys for the decoder: simple rules of precedence, and orders of commissions."""

from collections.abc import Callable, Sequence
from math import exp

from schedule.engine.works import Works

LATEST = 1 << 62
LOOK_AHEAD = 2.0
"""How many average commissions ahead the apparent tardiness looks: the usual value for one machine,
from memory."""


def ranked(works: Works, value: Callable[[int], tuple]) -> list[float]:
    """Return keys that put the tasks in the order of a value of each; equal values, equal keys."""
    values = [value(t) for t in range(len(works.tasks))]
    place = {one: float(n) for n, one in enumerate(sorted(set(values)))}
    return [place[one] for one in values]


def wanted_first(works: Works) -> list[float]:
    """The simple rule: the earliest wanted, then the weightiest, then the longest way to go."""

    def value(t: int) -> tuple:
        c = works.commission_of[works.panel_of[t]]
        wanted = works.wanted[c]
        return (LATEST if wanted is None else wanted, -works.weight[c], -works.tail[t])

    return ranked(works, value)


def in_order(works: Works, order: Sequence[int]) -> list[float]:
    """Return keys that take commissions in an order, and in each the longest way to go first."""
    place = {c: n for n, c in enumerate(order)}
    return ranked(works, lambda t: (place[works.commission_of[works.panel_of[t]]], -works.tail[t]))


def hands_on(works: Works) -> list[int]:
    """Return the slots of work left on each commission."""
    left = [0] * len(works.commissions)
    for t, p in enumerate(works.panel_of):
        left[works.commission_of[p]] += works.work[t]
    return left


def shortest_first(works: Works) -> list[int]:
    """Return the commissions by work for each unit of weight, the least first."""
    left = hands_on(works)
    return sorted(range(len(left)), key=lambda c: (left[c] / works.weight[c], c))


def most_pressing_first(works: Works) -> list[int]:
    """Return the commissions by apparent tardiness: weight for work, the less the more slack.

    The next is chosen as if those before it were done by one pair of hands without a pause.
    """
    left = hands_on(works)
    pace = _pace(works)
    mean = max(1.0, sum(left) / max(1, len(left)))
    alone = [0] * len(left)
    for p, first in enumerate(works.first):
        if first < works.last[p]:
            c = works.commission_of[p]
            alone[c] = max(alone[c], works.tail[first] // works.slot)
    clock, order, rest = 0.0, [], set(range(len(left)))

    def pressing(c: int) -> tuple[float, int]:
        wanted = works.wanted[c]
        if wanted is None:
            return (0.0, -c)
        due = (wanted - works.now) / works.slot / pace
        slack = max(0.0, due - clock - max(left[c], alone[c] / pace))
        return (works.weight[c] / max(1, left[c]) * exp(-slack / (LOOK_AHEAD * mean)), -c)

    while rest:
        chosen = max(sorted(rest), key=pressing)
        rest.discard(chosen)
        order.append(chosen)
        clock += left[chosen] / max(1, len(works.hands))
    return order


def _pace(works: Works) -> float:
    """Return how much clock time goes by for each open slot of all hands, on the average."""
    spans = [
        (hours.ends[-1] - works.present, sum(hours.ends) - sum(hours.starts))
        for hours in works.hands
        if hours.ends and hours.ends[-1] > works.present
    ]
    opened = sum(work for _, work in spans)
    return max(1.0, sum(span for span, _ in spans) / opened) if opened else 1.0


def as_before(works: Works, starts: dict[int, int]) -> list[float]:
    """Return keys that keep the order in which an older plan begins the tasks (microseconds).

    What it does not know follows what comes before it on its panel, or else stands where the
    simple rule would have put it.
    """
    simple = wanted_first(works)
    last = max(simple, default=0.0) + 1
    span = max((start - works.now for start in starts.values()), default=0) + works.slot
    when = [works.now + span * key / last for key in simple]
    for t, p in enumerate(works.panel_of):
        if t in starts:
            when[t] = float(starts[t])
        elif t > works.first[p]:
            when[t] = max(when[t - 1], min(when[t], when[t - 1] + works.slot))
    return ranked(works, lambda t: (when[t],))
