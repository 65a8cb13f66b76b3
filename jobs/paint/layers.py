"""What may go over what. Each rule looks at one coat and the coat right under it."""

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from itertools import pairwise

from jobs.paint.binders import Binder, binder
from jobs.paint.drying import Climate
from jobs.paint.gates import GATES, NO_WAIT, RECOAT, THROUGH_DRY, at_least

REFUSED = "refused"
CAUTION = "caution"

LEAST_GROUND_COATS_UNDER_OIL = 2
"""Oil work is primed 2-4 times (Winsor & Newton, Understanding acrylic gesso)."""

_QUICKER = 2.0


@dataclass(frozen=True)
class Layer:
    """One stage as it lies on the panel: binder key, coats, and the gate after its last coat."""

    binder: str
    gate: str = RECOAT.key
    coats: int = 1

    def __post_init__(self) -> None:
        if self.gate not in GATES:
            raise ValueError(f"There is no gate '{self.gate}'.")
        if self.coats < 1:
            raise ValueError("A stage has one coat at least.")


@dataclass(frozen=True)
class Finding:
    """A verdict on the layer at `position` (from 0): why it is so, and what mends it."""

    level: str
    position: int
    text: str
    mend: str


@dataclass(frozen=True)
class _Film:
    position: int
    layer: Layer
    paint: Binder

    @property
    def name(self) -> str:
        return self.paint.name


_Verdict = tuple[str, str, str] | None
_Rule = Callable[[_Film, _Film], _Verdict]


def findings(layers: Sequence[Layer], *, climate: Climate | None = None) -> tuple[Finding, ...]:
    """All verdicts on a stack, bottom layer first, in the order of the layers.

    Layers that leave no film (sanding, drawing, washing) are looked through. With `climate`,
    what is too cold to work with is refused too. ValueError for an unknown binder. Sources of
    the rules stand with each of them.
    """
    films = [
        _Film(place, layer, paint)
        for place, layer in enumerate(layers)
        if (paint := binder(layer.binder)).leaves_film
    ]
    found = [_judge(lower, upper) for lower, upper in pairwise(films)]
    found.append(_thin_ground(films))
    if climate is not None:
        found += [_too_cold(place, layer, climate) for place, layer in enumerate(layers)]
    return tuple(sorted((one for one in found if one), key=lambda one: one.position))


def refusals(layers: Sequence[Layer], *, climate: Climate | None = None) -> tuple[Finding, ...]:
    """Only what is refused among the findings."""
    return tuple(one for one in findings(layers, climate=climate) if one.level == REFUSED)


def _judge(lower: _Film, upper: _Film) -> Finding | None:
    for rule in _RULES:
        verdict = rule(lower, upper)
        if verdict:
            level, text, mend = verdict
            return Finding(level, upper.position, text, mend)
    return None


def _water_over_oil(lower: _Film, upper: _Film) -> _Verdict:
    """Water-borne paint does not hold on oil, even old oil (Grumbacher; Matisse FAQ)."""
    if upper.paint.family != "water" or lower.paint.family != "oil":
        return None
    text = f"{_upper(upper.name)} does not hold on {lower.name}, however dry, and peels off later."
    mend = f"Put the {upper.name} before the oil, or use an oil or resin product here."
    return REFUSED, text, mend


def _over_wet(lower: _Film, upper: _Film) -> _Verdict:
    """Nothing goes on a wet coat but wet-in-wet on purpose (common practice, no source)."""
    if lower.layer.gate != NO_WAIT.key:
        return None
    painting = {"paint", "glaze"}
    if (
        lower.paint.family == upper.paint.family
        and {lower.paint.role, upper.paint.role} <= painting
    ):
        return None
    text = f"{_upper(upper.name)} would go on {lower.name} that is still wet."
    return REFUSED, text, f"Let the {lower.name} wait until it may be recoated."


def _oil_over_fresh_water_borne(lower: _Film, upper: _Film) -> _Verdict:
    """Oil waits 72 h at least on acrylic gesso (MITRA forum QID 351, 2017)."""
    if upper.paint.family != "oil" or lower.paint.family != "water":
        return None
    if at_least(lower.layer.gate, THROUGH_DRY.key):
        return None
    text = f"{_upper(upper.name)} would seal in the water that {lower.name} still has to lose."
    mend = f"Let the {lower.name} wait until it is dry all through: 72 hours at least."
    return REFUSED, text, mend


def _varnish_too_soon(lower: _Film, upper: _Film) -> _Verdict:
    """Varnish waits for paint firm at its thickest spot (Gamblin; Opus varnish sheets)."""
    if upper.paint.role != "varnish" or lower.paint.role == "varnish":
        return None
    if at_least(lower.layer.gate, THROUGH_DRY.key):
        return None
    text = f"{_upper(upper.name)} would go on {lower.name} that is not yet dry all through."
    mend = f"Let the {lower.name} wait until it is dry all through."
    level = REFUSED if lower.paint.family == "oil" else CAUTION
    return level, text, mend


def _paint_over_varnish(lower: _Film, upper: _Film) -> _Verdict:
    """Varnish is no painting ground (Winsor & Newton, varnish text)."""
    if lower.paint.role != "varnish" or upper.paint.role == "varnish":
        return None
    text = f"{_upper(upper.name)} over {lower.name} holds poorly, and goes when the varnish goes."
    return CAUTION, text, "Varnish last, or roughen the varnish and try a spot first."


def _quick_over_slow(lower: _Film, upper: _Film) -> _Verdict:
    """Slow over fast (Winsor & Newton, 3 oil painting rules); twice: common practice."""
    if upper.paint.family != "oil" or lower.paint.family != "oil":
        return None
    if at_least(lower.layer.gate, THROUGH_DRY.key):
        return None
    quick, slow = upper.paint.waits["touch-dry"].hours, lower.paint.waits["touch-dry"].hours
    if quick * _QUICKER > slow:
        return None
    text = f"{_upper(upper.name)} dries sooner than the {lower.name} under it and may crack."
    mend = f"Let the {lower.name} wait until it is dry all through, or give both the same medium."
    return CAUTION, text, mend


_RULES: tuple[_Rule, ...] = (
    _water_over_oil,
    _over_wet,
    _oil_over_fresh_water_borne,
    _varnish_too_soon,
    _paint_over_varnish,
    _quick_over_slow,
)
# The gravest first: a pair of coats gets one verdict.


def _thin_ground(films: Sequence[_Film]) -> Finding | None:
    ground = 0
    for film in films:
        if film.paint.family == "oil":
            if ground >= LEAST_GROUND_COATS_UNDER_OIL:
                return None
            text = f"Oil stands here on {'one coat' if ground else 'no coat'} of ground."
            mend = "Prime with two coats at least, better three, under oil."
            return Finding(CAUTION, film.position, text, mend)
        ground += film.layer.coats if film.paint.role == "ground" else 0
    return None


def _too_cold(position: int, layer: Layer, climate: Climate) -> Finding | None:
    paint = binder(layer.binder)
    if not paint.waits or climate.temperature_c >= paint.lowest_c:
        return None
    text = (
        f"The room has {climate.temperature_c:g} °C; "
        f"{paint.name} is not worked under {paint.lowest_c:g} °C."
    )
    return Finding(REFUSED, position, text, f"Warm the room to {paint.lowest_c:g} °C or more.")


def _upper(words: str) -> str:
    return words[0].upper() + words[1:]
