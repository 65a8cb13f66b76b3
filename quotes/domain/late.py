"""What it costs when the ground colour is decided late: coats, hours, days, money."""

from collections.abc import Sequence
from copy import copy
from dataclasses import dataclass, replace
from datetime import timedelta
from decimal import Decimal

from jobs.domain.grounds import (
    Bed,
    GroundColour,
    bed_of,
    ground_colours,
    ground_stage,
    is_ground_of,
)
from jobs.domain.paint_taken import stage_millilitres
from jobs.domain.reckoning import reckon
from jobs.domain.workshop import Workshop, workshop_of
from jobs.layout.shapes import area
from jobs.models import Panel, Stage
from jobs.models import Supply as Bought
from jobs.paint.binders import binder
from jobs.paint.colour import bands, luminance
from jobs.paint.gates import RECOAT
from jobs.paint.hiding import Candidate, Criterion, Late, late_decision
from jobs.paint.opacity import coat_microns
from quotes.domain.pricing import kept_in_hand, terms_of, why_kept_in_hand
from quotes.engine.costing import cost
from quotes.engine.terms import Supply, Work

OPAQUE = "opaque"
NOTHING = timedelta(0)


@dataclass(frozen=True)
class LateCost:
    """What one colour takes when it is chosen now; money in minor units, before tax.

    `in_time` and `now` are coats of ground in all; `extra` the coats between them, `fewest` and
    `most` the same by the make of the paint. None stands for never in practice. `by_contrast` are
    coats that hide a black and white chart, whatever lies on the panel. `ground_first`:
    an opaque ground of that colour comes before it, `never_alone`: because no number of coats
    hides what lies there. `likely` and `surely` are the waits between
    the extra coats, `unsure` why they are a guess, "" where they are none.
    """

    ground: GroundColour
    in_time: int
    extra: int | None
    fewest: int | None
    most: int | None
    by_contrast: int | None
    ground_first: bool
    never_alone: bool
    decided: bool
    minutes: int = 0
    hours_words: str = ""
    ml: Decimal = Decimal(0)
    work: int = 0
    paint: int = 0
    likely: timedelta = NOTHING
    surely: timedelta = NOTHING
    unsure: str = ""

    @property
    def money(self) -> int:
        return self.work + self.paint

    @property
    def now(self) -> int | None:
        return None if self.extra is None else self.in_time + self.extra

    @property
    def free(self) -> bool:
        """Return whether no make of the paint takes a coat more."""
        return self.extra == self.most == 0

    @property
    def spread(self) -> str:
        """Return '1 to 3 more by the make of the paint', or "" where every make is alike."""
        if self.extra is None or self.fewest == self.most:
            return ""
        if self.most is None:
            return f"at best {self.fewest} more; a weaker make of the paint never hides it"
        return f"{self.fewest} to {self.most} more by the make of the paint"


@dataclass(frozen=True)
class Deciding:
    """What deciding late costs on a panel, by colour.

    `why_not` says in a sentence why there are no numbers, "" where there are. While no ground
    is laid, `after` are the colours as they would cost once `first` lay there, the darkest of
    the studio's grounds. `unpriced` says why the paint is not in the money, "" where it is.
    """

    stage: Stage | None = None
    bed: Bed | None = None
    why_not: str = ""
    may_ask: bool = False
    colours: tuple[GroundColour, ...] = ()
    costs: tuple[LateCost, ...] = ()
    unpriced: str = ""
    after: tuple[LateCost, ...] = ()
    first: GroundColour | None = None

    @property
    def priced(self) -> bool:
        """Return whether the paint is in the money."""
        return not self.unpriced

    @property
    def contrast(self) -> Decimal:
        """Return the contrast ratio that a coat must come to over the chart (ISO 6504-1)."""
        return Decimal(str(Criterion().contrast))

    @property
    def worst(self) -> LateCost | None:
        """Return the dearest change of mind of all told here, None where all are free."""
        found = max((*self.costs, *self.after), key=_dearness, default=None)
        return found if found and found.extra != 0 else None

    @property
    def worst_after(self) -> bool:
        """Return whether the worst comes after another ground was laid."""
        return any(one is self.worst for one in self.after)

    @property
    def unsure(self) -> tuple[str, ...]:
        """Return why the waits are a guess, each reason once."""
        reasons = [one.unsure for one in (*self.costs, *self.after) if one.unsure]
        return tuple(dict.fromkeys(reasons))

    @property
    def kept_in_hand(self) -> str:
        """Return in words what the price holds while the ground is undecided, and why."""
        return f"{kept_in_hand()}. {why_kept_in_hand()}"


def deciding_late(
    panel: Panel,
    *,
    tried: GroundColour | None = None,
    over: tuple[str, str] | None = None,
    film_um: float | None = None,
) -> Deciding:
    """Reckon what each ground colour costs when it is chosen now.

    `panel` comes from `for_bench()`. `tried` is one colour more; `over` the name and colour
    (#rrggbb) of a ground supposed to lie there in place of what does; `film_um` another wet film
    of a coat in microns. What cannot be reckoned is said in `why_not`; nothing raises but for a
    colour that is none.
    """
    stage, bed = ground_stage(panel), bed_of(panel)
    if stage is None or bed is None:
        return Deciding(why_not="This method lays no ground colour.")
    if bed.beyond:
        why = f"‘{bed.beyond}’ lies over the ground: a change of ground would repaint what is done."
        return Deciding(stage, bed, why)
    if not area(panel.shape) > 0:
        return Deciding(stage, bed, "The panel has no area yet: say how large it is.")
    colours = ground_colours(panel)
    asked = (*colours, tried) if tried else colours
    if over:
        bed = replace(bed, name=over[0], colour=over[1], laid=stage.coats, left=0)
    try:
        bench = _Bench(panel, stage, workshop_of(panel.owner), film_um)
        if not bed.colour:
            return Deciding(stage, bed, _unknown(bed), may_ask=True, colours=colours)
        costs = bench.costs(asked, bed)
        first, after = (None, ()) if over or bed.laid else bench.after_another(colours, bed)
    except ValueError as error:
        return Deciding(stage, bed, str(error), may_ask=True, colours=colours)
    unpriced = bench.why_unpriced
    return Deciding(stage, bed, "", True, colours, costs, unpriced, after, first)


def _unknown(bed: Bed) -> str:
    if bed.laid:
        return "A ground is laid, but nobody said its colour. Say it on the panel."
    if bed.name:
        return f"What lies under the ground is ‘{bed.name}’, of which nobody said the colour."
    return "The method lays no primer, so nobody knows what colour the ground goes on."


def _dearness(one: LateCost) -> tuple[bool, int, int]:
    return one.extra is None, one.extra or 0, one.money


class _Bench:
    """The panel's ground stage with all that its coats are reckoned by."""

    def __init__(
        self, panel: Panel, stage: Stage, workshop: Workshop, film_um: float | None
    ) -> None:
        self.panel, self.workshop = panel, workshop
        self.stage = copy(stage)
        if film_um is not None:
            self.stage.film_um = film_um
        if not binder(stage.binder).leaves_film:
            raise ValueError(f"‘{stage.name}’ is laid with no paint. Say on it which paint it is.")
        film = self.stage.film_um
        wet = workshop.films.get(stage.binder) if film is None else film
        self.dry_um = coat_microns(stage.binder, wet_um=wet)
        rows: Sequence[Bought] = panel.owner.supplies.all()
        self.bought = next((row for row in rows if row.binder == stage.binder), None)
        self.terms = terms_of(panel.owner)

    @property
    def priced(self) -> bool:
        """Return whether a pack of the paint has a price in the studio's currency."""
        return self.bought is not None and self.bought.price is not None

    @property
    def why_unpriced(self) -> str:
        """Return why the paint is left out of the money, "" where it is in it."""
        if self.priced:
            return ""
        if self.bought is None:
            return f"There is no {binder(self.stage.binder).name} among your materials"
        return (
            f"No price of a pack of ‘{self.bought.name}’ in {self.panel.owner.currency} "
            "is written down"
        )

    def costs(self, colours: Sequence[GroundColour], bed: Bed) -> tuple[LateCost, ...]:
        return tuple(self.cost(each, bed) for each in colours)

    def cost(self, ground: GroundColour, bed: Bed) -> LateCost:
        # In good time the ground under it would have been opaque, and of its own colour.
        prepared = Candidate(ground.name, ground.colour, OPAQUE, self.dry_um)
        wanted = Candidate(ground.name, ground.colour, ground.power, self.dry_um)
        (late,) = late_decision([wanted], ground=prepared, lies_now=bed.colour, left=bed.left)
        return self._priced(ground, late)

    def after_another(
        self, colours: Sequence[GroundColour], bed: Bed
    ) -> tuple[GroundColour | None, tuple[LateCost, ...]]:
        """Return the darkest ground, and what the others cost once it lay there all over."""
        grounds = [each for each in colours if each.mix is None] or colours
        if len(colours) < 2:
            return None, ()
        first = min(grounds, key=lambda each: luminance(bands(each.colour)))
        laid = replace(bed, name=first.name, colour=first.colour, laid=self.stage.coats, left=0)
        others = [each for each in colours if each.colour != first.colour]
        return first, self.costs(others, laid)

    def _priced(self, ground: GroundColour, late: Late) -> LateCost:
        fewest, most = late.spread
        told = LateCost(
            ground=ground,
            in_time=max(self.stage.coats, late.in_time.needed or 0),
            extra=late.extra,
            fewest=fewest,
            most=most,
            by_contrast=late.straight.by_contrast,
            ground_first=late.ground_first and bool(late.extra),
            never_alone=late.straight.needed is None and not late.lies_already,
            decided=self._decided(ground),
        )
        if not late.extra:
            return told
        coats = late.extra
        hours = reckon(self.stage, coats=coats)
        ml = stage_millilitres(self.stage, self.bought, coats=coats)
        costing = cost(
            [Work("late", str(self.panel.pk), ground.name, hours.minutes, hours.words)],
            [self._supply(ml)] if self.priced else [],
            self.terms,
            {},
        )
        laid = copy(self.stage)
        laid.mix = ground.mix
        wait = self.workshop.wait(laid, RECOAT.key)
        return replace(
            told,
            minutes=hours.minutes,
            hours_words=hours.words,
            ml=ml,
            work=costing.of_kind("work"),
            paint=costing.of_kind("material"),
            likely=wait.likely * coats,
            surely=wait.surely * coats,
            unsure=wait.why,
        )

    def _decided(self, ground: GroundColour) -> bool:
        return not ground.tried and is_ground_of(self.panel, ground)

    def _supply(self, ml: Decimal) -> Supply:
        row = self.bought
        return Supply("late-paint", row.name, ml, row.pack_ml, row.price)
