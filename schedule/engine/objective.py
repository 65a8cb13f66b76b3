"""What makes one plan better than another: every weight, once, with its reason.

The unit of cost is an hour of clock time by which one commission is finished later.
"""

from dataclasses import dataclass
from datetime import timedelta

LATE = 20.0
"""An hour past the wanted instant, times the commission's weight. A broken promise costs far more
than a slow one; twenty lets no ordinary gain of the others buy it. Common practice, no source."""
COMPLETION = 1.0
"""An hour until a commission is dry: the unit. Early finishes are paid early and free the room."""
SET_UP = 0.5
"""A mix set up anew. Its minutes are in the plan already; this is the trouble of matching it.
Common practice, no source."""
TURNING = 0.5
"""A fixed piece laid on another face: two people, blankets, and a chance of a dent. Common
practice, no source."""
CUTS = 0.5
"""A sitting more than a stage needs: the brushes are cleaned once more and the place is found
again, which is about as much as setting up. Common practice, no source."""
ELAPSED = 0.05
"""An hour from first touch to delivery: a client's piece stands in the way, but no plan should
finish later by much for it. Common practice, no source."""
CALM = 36.0
"""A day by which a near stage moves back against the plan she knows. Measured on eight studios with
turning, racks and wet paint: at half of it most near stages move, at this three in ten. It is more
than finishing a day sooner is worth, though calm is asked for last: a plan she knows is a promise
already told to clients and a day already arranged, and what comes forward costs next to nothing."""
EARLIER = 0.05
"""A day by which it moves forward, in days by which it moves back: time that came free is worth
taking up. Common practice, no source."""
NEAR = timedelta(days=14)
"""How far ahead she has the plan in her head. Common practice, no source."""
UNFINISHED = 1_000_000.0
"""A commission not wholly planned, times its weight: no lateness within the hours known costs as
much, so leaving work out never pays."""
UNPLANNED = 1_000.0
"""An hour of hands-on work that is not planned."""


@dataclass(frozen=True, slots=True)
class Score:
    """The cost of a plan, by term: clock hours, counts, days moved, hands-on hours.

    `late` is weighted hours; `completion` hours from now to each finish; `set_ups` and `turnings`
    counts; `cuts` the sittings beyond the fewest that each stage could be done in; `elapsed` hours
    from first touch to finish; `moved` days by which near stages move back, those forward counted
    as `EARLIER` says; `unfinished` weighted commissions; `unplanned` hours of work.
    """

    late: float = 0.0
    completion: float = 0.0
    set_ups: int = 0
    turnings: int = 0
    cuts: int = 0
    elapsed: float = 0.0
    moved: float = 0.0
    unfinished: int = 0
    unplanned: float = 0.0

    @property
    def total(self) -> float:
        """The cost to be made small, in hours of one commission's finish."""
        return (
            LATE * self.late
            + COMPLETION * self.completion
            + SET_UP * self.set_ups
            + TURNING * self.turnings
            + CUTS * self.cuts
            + ELAPSED * self.elapsed
            + CALM * self.moved
            + UNFINISHED * self.unfinished
            + UNPLANNED * self.unplanned
        )
