"""Coats as they lie on a panel, and what is known of one of them when it is judged."""

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, field
from datetime import datetime
from functools import cached_property

from jobs.paint.binders import Binder, binder
from jobs.paint.colour import bands, luminance
from jobs.paint.drying import Climate, Pace
from jobs.paint.film import wet_film_microns
from jobs.paint.gates import GATES, NO_WAIT, RECOAT
from jobs.paint.pigments import DryingClass, quickest_class, slowest_class
from jobs.paint.pigments import pigments as known_pigments
from jobs.paint.substrates import Finish, Substrate

DRAWN_WITH: dict[str, str] = {
    "graphite": "graphite pencil",
    "white-pencil": "white pencil",
    "chalk": "chalk",
}
"""What a drawing may be made with, as the `medium` of its layer: key and words."""


@dataclass(frozen=True)
class Layer:
    """One stage as it lies on the panel: binder key, coats, and the gate after its last coat.

    What is left out is not known, and then no rule asks after it: `kind` of stage, Colour
    Index names of `pigments`, `medium` (a key of the media, "gloss" for acrylic with gloss
    medium, or one of DRAWN_WITH), `colour` as #rrggbb. `thickness_um` is the wet film of a
    coat in microns, the binder's usual one when None. `pace` is what governs the drying of its
    mix in oil, and `lends` gives binders by key, with a studio's own hours: without them the
    tables and the whole of `pigments` count. ValueError for what cannot be.
    """

    binder: str
    gate: str = RECOAT.key
    coats: int = 1
    kind: str = ""
    pigments: tuple[str, ...] = ()
    thickness_um: float | None = None
    medium: str = ""
    colour: str = ""
    pace: Pace | None = None
    lends: Callable[[str], Binder] = field(default=binder, repr=False)

    def __post_init__(self) -> None:
        if self.gate not in GATES:
            raise ValueError(f"There is no gate '{self.gate}'.")
        if self.coats < 1:
            raise ValueError("A stage has one coat at least.")
        if self.thickness_um is not None and not self.thickness_um > 0:
            raise ValueError("A coat has some thickness: more than nothing.")
        if self.colour:
            bands(self.colour)

    @property
    def paint(self) -> Binder:
        """Its binder, as `lends` has it; ValueError for an unknown one."""
        return self.lends(self.binder)

    @property
    def slowest(self) -> DryingClass:
        """The drying class in oil that it is waited for by."""
        return self.pace.slow if self.pace else slowest_class(self.pigments)

    @property
    def quickest(self) -> DryingClass:
        """The quickest it may dry in oil: where sources disagree on its pigments, the quickest."""
        return self.pace.quick if self.pace else quickest_class(self.pigments)

    @property
    def film_um(self) -> float:
        """The wet film of one coat in microns, 0 where it leaves none."""
        if self.thickness_um is not None:
            return self.thickness_um
        return wet_film_microns(self.paint.rate) if self.paint.rate else 0.0

    @property
    def brightness(self) -> float | None:
        """Luminance of its colour from 0 to 1, or of its only pigment's; None if not known."""
        colour = self.colour
        if not colour and len(self.pigments) == 1 and self.pigments[0] in known_pigments():
            colour = known_pigments()[self.pigments[0]].masstone
        return luminance(bands(colour)) if colour else None


@dataclass(frozen=True)
class Case:
    """A layer to be judged, `below` it bottom first, `above` it what the method has next.

    `at` is when it is to be begun and `dries_at` when the coat under it reaches each gate, with
    the key of "no wait" for when it was finished; without them a method's own gates count. `use`
    is what the piece is for, "" where nothing is to be said of it.
    """

    upper: Layer
    below: Sequence[Layer]
    above: Sequence[Layer] = ()
    substrate: Substrate | None = None
    finish: Finish | None = None
    use: str = ""
    climate: Climate | None = None
    at: datetime | None = None
    dries_at: Mapping[str, datetime] = field(default_factory=dict)

    def __post_init__(self) -> None:
        instants = [*self.dries_at.values(), *([self.at] if self.at else [])]
        if any(each.tzinfo is None for each in instants):
            raise ValueError("An instant needs its time zone.")
        for gate in self.dries_at:
            if gate not in GATES:
                raise ValueError(f"There is no gate '{gate}'.")

    @cached_property
    def lower(self) -> Layer | None:
        """The coat under it: the last below that leaves a film."""
        return next((each for each in reversed(self.below) if each.paint.leaves_film), None)

    @cached_property
    def between(self) -> tuple[Layer, ...]:
        """What was done since the coat under it and left no film, such as drawing or sanding."""
        films = [place for place, each in enumerate(self.below) if each.paint.leaves_film]
        return tuple(self.below[films[-1] + 1 if films else 0 :])

    @cached_property
    def reached(self) -> str:
        """The gate that the coat under it has reached: at `at`, else as the method has it."""
        if self.lower is None:
            return NO_WAIT.key
        if self.at is None or not self.dries_at:
            return self.lower.gate
        order = list(GATES)
        open_now = [gate for gate, when in self.dries_at.items() if when <= self.at]
        return max(open_now, key=order.index, default=NO_WAIT.key)
