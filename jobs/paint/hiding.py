"""How many coats until the ground no longer shows, and what deciding late costs in coats."""

import math
from collections.abc import Callable, Sequence
from dataclasses import dataclass, field
from functools import lru_cache
from typing import Literal

from jobs.paint.colour import Bands, bands, difference, lab, lab_difference, luminance
from jobs.paint.kubelka_munk import DARKEST, LIGHTEST, over
from jobs.paint.opacity import Scattering, scattering
from jobs.paint.values import values

FILE = "hiding.toml"
_DEEPEST, _SHALLOWEST = 512.0, 1e-4
_RUNG = 1.15
_HALVINGS = 30
_EVEN = 1e-9

Rule = Literal["difference", "contrast", "both"]


def _shipped(key: str) -> float:
    return values(FILE)[key].value


@dataclass(frozen=True)
class Criterion:
    """When a ground counts as hidden.

    `rule` says what governs: the colour 'difference' (ΔE00) from the same paint laid without
    end, over this ground; the 'contrast' ratio of ISO 6504-1 over black and white, whatever
    the ground; or 'both'. ValueError for a rule or limit that means nothing.
    """

    rule: Rule = "difference"
    contrast: float = field(default_factory=lambda: _shipped("contrast"))
    difference: float = field(default_factory=lambda: _shipped("visible"))

    def __post_init__(self) -> None:
        if self.rule not in ("difference", "contrast", "both"):
            raise ValueError(f"A ground is not judged hidden by '{self.rule}'.")
        if not 0 < self.contrast < 1 or not self.difference > 0:
            raise ValueError("A contrast ratio lies between 0 and 1, a difference above 0.")


@dataclass(frozen=True)
class Coats:
    """Coats until a ground is hidden; None stands for never in practice.

    `needed` goes by the criterion's rule, `at_best` and `at_worst` are the same with the most
    and the least scattering of the paint's class. `microns` is the dry film that hides, however
    many coats it takes. `left_over` is how far (ΔE00) the colour is from its own after coat
    1, 2, ... and `looks` the reflectance after each, up to `needed` or the most coats tried.
    """

    by_contrast: int | None
    by_difference: int | None
    needed: int | None
    at_best: int | None
    at_worst: int | None


def film_colour(ground: Bands, coat: Bands, *, scattered: float) -> Bands:
    """Reflectances of a film over a ground; `scattered` is S times thickness, alike in each band.

    `coat` is the paint laid without end. ValueError for a film thinner than nothing.
    """
    long, middle, short = (
        over(below, full=full, scattering=scattered)
        for below, full in zip(ground, coat, strict=True)
    )
    return long, middle, short


def contrast_ratio(coat: Bands, *, scattered: float) -> float:
    """Y over black divided by Y over the white of the chart (ISO 6504-1), 0 to 1."""
    white = _shipped("white-chart")
    over_black = film_colour((0.0, 0.0, 0.0), coat, scattered=scattered)
    over_white = film_colour((white, white, white), coat, scattered=scattered)
    return luminance(over_black) / luminance(over_white)


@lru_cache(maxsize=4096)
def coats_to_hide(
    ground: str,
    coat: str,
    opacity: str | Scattering,
    thickness_um: float,
    *,
    criterion: Criterion | None = None,
) -> Coats:
    """How many coats of `coat` hide `ground`, both colours written #rrggbb.

    `opacity` is the class of the paint, or its scattering (a mix has its own);
    `thickness_um` is the dry film of one coat in microns (`opacity.coat_microns`). The coats
    counted are those after which no further coat shows the ground again. Colours are counted
    in three bands and a class spans a factor of two, so read `at_best` and `at_worst` too.
    ValueError for a colour, class or thickness that is none.
    """
    if not 0 < thickness_um < math.inf:
        raise ValueError("A coat must be thicker than nothing.")
    judged = criterion or Criterion()
    power = opacity if isinstance(opacity, Scattering) else scattering(opacity)
    below, paint = bands(ground), _paintable(bands(coat))
    by_contrast, by_difference = _depths(below, paint, judged)
    depth = {
        "contrast": by_contrast,
        "difference": by_difference,
        "both": max(by_contrast, by_difference),
    }[judged.rule]
    return Coats(
        by_contrast=_coats(by_contrast, power.likely, thickness_um),
        by_difference=_coats(by_difference, power.likely, thickness_um),
        needed=_coats(depth, power.likely, thickness_um),
        at_best=_coats(depth, power.high, thickness_um),
        at_worst=_coats(depth, power.low, thickness_um),
    )


def _depths(ground: Bands, paint: Bands, judged: Criterion) -> tuple[float, float]:
    """S times thickness that hides, by contrast ratio and by colour difference."""
    own = lab(paint)

    def contrasts(depth: float) -> bool:
        return contrast_ratio(paint, scattered=depth) < judged.contrast

    def differs(depth: float) -> bool:
        look = film_colour(ground, paint, scattered=depth)
        return lab_difference(lab(look), own) > judged.difference

    return _hidden_from(contrasts), _hidden_from(differs)


def _paintable(coat: Bands) -> Bands:
    long, middle, short = (min(max(each, DARKEST), LIGHTEST) for each in coat)
    return long, middle, short


def _hidden_from(shows: Callable[[float], bool]) -> float:
    """S times thickness from which the ground shows no more, however much thicker.

    It is sought from the thick end, since a thin film may come near its own colour by chance.
    """
    upper = _DEEPEST
    if shows(upper):
        return math.inf
    while not shows(upper / _RUNG):
        upper /= _RUNG
        if upper < _SHALLOWEST:
            return 0.0
    lower = upper / _RUNG
    for _ in range(_HALVINGS):
        middle = (lower + upper) / 2
        lower, upper = (middle, upper) if shows(middle) else (lower, middle)
    return upper


def _coats(depth: float, power: float, thickness_um: float) -> int | None:
    exact = depth / (power * thickness_um)
    if exact > _shipped("most-coats"):
        return None
    return max(1, math.ceil(exact - _EVEN))


@dataclass(frozen=True)
class Candidate:
    """A colour that may yet be chosen: #rrggbb, its opacity, and its dry microns a coat."""

    name: str
    colour: str
    opacity: str | Scattering
    thickness_um: float


@dataclass(frozen=True)
class Late:
    """What a colour takes when it is chosen late.

    `in_time` is over the prepared ground, `straight` over what lies there now, `ground_again`
    the coats that bring the prepared ground back first. `left` are the coats of it that the
    method lays from now on in any case, None for as many as it needs in time; `lies_already`
    says that its colour lies there.
    """

    candidate: Candidate
    in_time: Coats
    straight: Coats
    ground_again: Coats
    ground: Candidate
    left: int | None = None
    lies_already: bool = False

    @property
    def coats(self) -> int | None:
        """Coats in all over what lies there, by the shorter way; None when none hides."""
        if not self.ground_first:
            return self.straight.needed
        again, after = self.ground_again.needed, self.in_time.needed
        return None if again is None or after is None else again + after

    @property
    def extra(self) -> int | None:
        """Coats more than in time, by the shorter way; None when neither way hides."""
        return self._ways("needed")[self.ground_first]

    @property
    def spread(self) -> tuple[int | None, int | None]:
        """The fewest and the most of those coats, by the make of the paint, on the same way.

        None for never in practice.
        """
        found = [self._ways(make)[self.ground_first] for make in ("at_best", "needed", "at_worst")]
        known = [each for each in found if each is not None]
        return min(known, default=None), None if None in found else max(known)

    @property
    def ground_first(self) -> bool:
        """Whether the shorter way is to lay the ground again before the colour."""
        straight, again = self._ways("needed")
        return again is not None and (straight is None or again < straight)

    def _ways(self, make: str) -> tuple[int | None, int | None]:
        """Coats more straight on, and with the ground laid again first."""
        if self.lies_already:
            return 0, None
        straight, again, in_time = (
            getattr(coats, make) for coats in (self.straight, self.ground_again, self.in_time)
        )
        laid = in_time if self.left is None else self.left
        # A ground that happens to help saves no coat: the method lays its coats all the same.
        on = None if straight is None or laid is None else max(0, straight - laid)
        after = 0 if in_time is None or laid is None else max(0, in_time - laid)
        return on, None if again is None else again + after


def late_decision(
    candidates: Sequence[Candidate],
    *,
    ground: Candidate,
    lies_now: str,
    left: int | None = None,
    criterion: Criterion | None = None,
) -> tuple[Late, ...]:
    """For each candidate the extra coats when it is chosen over what `lies_now` (#rrggbb).

    `ground` is the prepared ground it would have been laid on in good time, `left` the coats
    that the method still lays in any case (see `Late`). Only coats are answered:
    hours and money are the caller's. ValueError as for `coats_to_hide`, or for less than
    nothing left to lay.
    """
    if left is not None and left < 0:
        raise ValueError("There cannot be less than no coat left to lay.")
    judged = criterion or Criterion()

    def coats(over_colour: str, paint: Candidate) -> Coats:
        return coats_to_hide(
            over_colour, paint.colour, paint.opacity, paint.thickness_um, criterion=judged
        )

    again = coats(lies_now, ground)
    return tuple(
        Late(
            candidate=each,
            in_time=coats(ground.colour, each),
            straight=coats(lies_now, each),
            ground_again=again,
            ground=ground,
            left=left,
            lies_already=difference(bands(lies_now), bands(each.colour)) <= judged.difference,
        )
        for each in candidates
    )
