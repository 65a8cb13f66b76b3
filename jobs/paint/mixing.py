"""What a recipe in parts looks like, how sure that is, and how much of each tube it takes.

Mixing is Kubelka and Munk's with one constant (D. R. Duncan, Proc. Phys. Soc. 52 (1940) 390,
from memory): in each band the K/S of the mix is the mean of its parts' K/S, weighed by
parts times how hard each part tints.
"""

import math
from collections.abc import Collection, Mapping
from dataclasses import dataclass
from decimal import ROUND_HALF_UP, Decimal
from functools import lru_cache

from jobs.paint.colour import Bands, bands, difference, lab, lab_difference, swatch
from jobs.paint.film import packs
from jobs.paint.kubelka_munk import absorption_ratio, full_reflectance
from jobs.paint.opacity import Scattering, blend, scattering
from jobs.paint.pigments import Pigment, pigment, shifting
from jobs.paint.values import values

FILE = "mixing.toml"
REFERENCE = "PY43"
"""Yellow ochre, whose tinting strength is 1."""

_LIGHTFAST = ("I", "II", "III", "IV", "V")
_HUNDREDTH = Decimal("0.01")
_HALVINGS = 60
FEW_PARTS = 30
"""Parts in all that a painter still counts out: common practice, no source."""
TOUCH = 1 / 30
"""What is less of the whole is a touch: common practice, no source."""
_MOST_PARTS = 1000
_NEAR = 0.1

Parts = Mapping[str, float]
"""A recipe: parts by the key of a pigment, its Colour Index name and variety."""


@dataclass(frozen=True)
class Prediction:
    """A mix as it should come out.

    `uncertainty` is the ΔE00 within which four mixes in five should lie: three bands in place of
    a spectrum, masstones by eye, and tubes that tint more or less than the table says.
    `lightfast` is the class of the worst part known ("" when none is), `fades` are the parts
    of it and `lightfast_unknown` those without a class.
    """

    swatch: str
    reflectance: Bands
    uncertainty: float
    scattering: Scattering
    lightfast: str
    fades: tuple[str, ...]
    lightfast_unknown: tuple[str, ...]


@dataclass(frozen=True)
class Amount:
    """Of one tube colour by its key: ml to a hundredth, and the whole tubes that hold them."""

    key: str
    name: str
    ml: Decimal
    tubes: int


@dataclass(frozen=True)
class Sibling:
    """A mix one step lighter or darker: its recipe, what was added, and how it should look."""

    parts: dict[str, int]
    added: str
    prediction: Prediction


@dataclass(frozen=True)
class Family:
    """A mix between its siblings; None where the colours at hand go no further."""

    lighter: Sibling | None
    itself: Prediction
    darker: Sibling | None


def predict(parts: Parts, opacities: Mapping[str, str] | None = None) -> Prediction:
    """How a mix of `parts` should look, laid so thick that it hides, with all its parts' traits.

    The order and scale of the parts change nothing; a part of 0 is left out. `opacities` are
    opacity classes that a studio puts in place of the table's, by the key of a pigment.
    ValueError for an unknown pigment, a part below nothing, or a mix of nothing.
    """
    recipe = _recipe(parts)
    reflectance = _mixed(recipe)
    members = [part for part, _ in recipe]
    known = [part for part in members if part.lightfast in _LIGHTFAST]
    worst = max((part.lightfast for part in known), key=_LIGHTFAST.index, default="")
    return Prediction(
        swatch=swatch(reflectance),
        reflectance=reflectance,
        uncertainty=_uncertainty(recipe, reflectance),
        scattering=blend([(amount, _scattering(part, opacities or {})) for part, amount in recipe]),
        lightfast=worst,
        fades=tuple(part.key for part in known if part.lightfast == worst),
        lightfast_unknown=tuple(part.key for part in members if part not in known),
    )


def looks(parts: Parts) -> str:
    """The colour #rrggbb that `predict` tells of a mix; "" where it can tell none."""
    return _looks(tuple(sorted(parts.items())))


@lru_cache(maxsize=512)
def _looks(recipe: tuple[tuple[str, float], ...]) -> str:
    try:
        return swatch(_mixed(_recipe(dict(recipe))))
    except ValueError:
        return ""


def difference_words(apart: float) -> str:
    """How a colour difference ΔE00 looks, in words (the "visible" of `data/hiding.toml`)."""
    seen = values("hiding.toml")["visible"]
    if apart <= seen.low:
        return "no difference that can be seen"
    if apart <= seen.value:
        return "a difference seen only side by side"
    return "a slight difference" if apart <= seen.high else "a visible difference"


def amounts(
    parts: Parts, total_ml: Decimal, *, tube_ml: int | Mapping[str, int]
) -> tuple[Amount, ...]:
    """Each tube colour's share of `total_ml`, in the order of `parts`, and whole tubes of it.

    Parts are parts by volume. The shares add up to the total, to a hundredth of a ml.
    `tube_ml` is the content of a tube, for all or by the key of a pigment. ValueError as for
    `predict`, for a total below nothing, or a tube that is missing or holds nothing.
    """
    if not total_ml >= 0:
        raise ValueError("The paint needed cannot be less than nothing.")
    recipe = _recipe(parts, keep_order=True)
    whole = Decimal(str(math.fsum(amount for _, amount in recipe)))
    taken, given, answer = Decimal(0), Decimal(0), []
    for part, amount in recipe:
        taken += Decimal(str(amount))
        up_to = (total_ml * taken / whole).quantize(_HUNDREDTH, ROUND_HALF_UP)
        ml, given = up_to - given, up_to
        tube = tube_ml if isinstance(tube_ml, int) else tube_ml.get(part.key, 0)
        answer.append(Amount(part.key, part.name, ml, packs(ml, tube)))
    return tuple(answer)


def family(parts: Parts) -> Family:
    """A mix with one step lighter and one step darker, by adding one colour to it.

    Of the colours that the table of pigments has for it, that is taken which keeps the mix's hue
    best. Where more of it is needed than there is of the mix, more of a part of its own is tried
    before. The step is the `sibling-step` of `data/mixing.toml` in L*; the parts are whole and
    few, with less than a thirtieth of a colour as a touch. ValueError as for `predict`.
    """
    itself = predict(parts)
    step = values(FILE)["sibling-step"].value
    lightness = lab(itself.reflectance)[0]
    return Family(
        lighter=_sibling(parts, lightness + step, shifting("lighter")),
        itself=itself,
        darker=_sibling(parts, lightness - step, shifting("darker")),
    )


def tinting(part: Pigment) -> float:
    """How hard one part of a tube colour tints, against one part of yellow ochre.

    Tinting strength is told of the band a colour absorbs most: a part of strength 1 brings as
    much K there as yellow ochre does. So its weight is the strength, less by as much as its own
    K/S there is above yellow ochre's. White and pale colours, which lighten, keep theirs.
    """
    reference, own = _deepest(pigment(REFERENCE)), _deepest(part)
    return part.strength * min(1.0, reference / own)


def _deepest(part: Pigment) -> float:
    return max(absorption_ratio(each) for each in bands(part.masstone))


def _scattering(part: Pigment, own: Mapping[str, str]) -> Scattering:
    return scattering(own.get(part.key) or set(part.opacities))


def _recipe(parts: Parts, *, keep_order: bool = False) -> list[tuple[Pigment, float]]:
    # Sums of floats hang on their order; a recipe must not.
    names = list(parts) if keep_order else sorted(parts)
    found = [(pigment(ci), float(parts[ci])) for ci in names]
    if any(not 0 <= amount < math.inf for _, amount in found):
        raise ValueError("Parts of a mix cannot be less than nothing.")
    used = [(part, amount) for part, amount in found if amount > 0]
    if not used:
        raise ValueError("A mix needs at least one part of something.")
    return used


def _mixed(
    recipe: list[tuple[Pigment, float]], changed: Mapping[str, float] | None = None
) -> Bands:
    weights = [amount * tinting(part) * (changed or {}).get(part.key, 1) for part, amount in recipe]
    colours = [bands(part.masstone) for part, _ in recipe]
    whole = math.fsum(weights)

    def band(place: int) -> float:
        ratios = [absorption_ratio(colour[place]) for colour in colours]
        mean = math.fsum(w * ratio for w, ratio in zip(weights, ratios, strict=True)) / whole
        return full_reflectance(mean)

    return band(0), band(1), band(2)


def _uncertainty(recipe: list[tuple[Pigment, float]], middle: Bands) -> float:
    table = values(FILE)
    errors = [table["masstone"].value]
    if len(recipe) > 1:
        errors.append(table["three-bands"].value)
        spread = table["strength-spread"].value
        errors += [
            max(difference(_mixed(recipe, {part.key: by}), middle) for by in (spread, 1 / spread))
            for part, _ in recipe
        ]
    return math.hypot(*errors)


def _sibling(parts: Parts, lightness: float, colours: Collection[str]) -> Sibling | None:
    _, a, b = lab(_mixed(_recipe(parts)))
    found: list[tuple[tuple[bool, bool, float], Sibling]] = []
    whole = math.fsum(float(each) for each in parts.values())
    for ci in dict.fromkeys([*colours, *sorted(parts)]):
        added = _share(parts, lightness, ci)
        made = None if added is None else _whole_parts(parts, ci, added)
        if made is not None:
            prediction = predict(made)
            astray = lab_difference(lab(prediction.reflectance), (lightness, a, b))
            # Drowned in another colour it is no sibling, however well the hue is kept.
            rank = (added > whole, ci not in colours, astray)
            found.append((rank, Sibling(made, ci, prediction)))
    return min(found, key=lambda each: each[0])[1] if found else None


def _share(parts: Parts, lightness: float, ci: str) -> float | None:
    """Parts of `ci` to add until the mix has that lightness; None when it never does."""

    def reached(added: float) -> bool:
        mixed = dict(parts)
        mixed[ci] = mixed.get(ci, 0) + added
        found = lab(_mixed(_recipe(mixed)))[0]
        return found >= lightness if lighten else found <= lightness

    lighten = lab(_mixed(_recipe(parts)))[0] < lightness
    total = math.fsum(float(each) for each in parts.values())
    low, high = 0.0, total * _MOST_PARTS
    if not reached(high):
        return None
    for _ in range(_HALVINGS):
        middle = (low + high) / 2
        low, high = (low, middle) if reached(middle) else (middle, high)
    return high


def _whole_parts(parts: Parts, ci: str, added: float) -> dict[str, int] | None:
    """The recipe with `added` parts more of `ci`, in few whole parts that a painter can mix.

    A colour that makes less than a thirtieth is a touch: the others keep to the few, and are
    only scaled until it is whole.
    """
    rest = {name: float(amount) for name, amount in parts.items() if amount > 0 and name != ci}
    amount = float(parts.get(ci, 0)) + added
    exact = {name: rest.get(name, amount) for name in [*parts, ci] if name == ci or name in rest}
    whole = math.fsum(exact.values())
    own = _lowest_terms(rest)
    if amount < TOUCH * whole:
        base = own if own and sum(own.values()) <= FEW_PARTS else _few_parts(rest)
        each = math.fsum(rest.values()) / sum(base.values()) if base else 1.0
        made = _scaled(base or {}, ci, amount / each, most=_MOST_PARTS)
    else:
        each = math.fsum(rest.values()) / sum(own.values()) if own else 1.0
        made = _scaled(own or {}, ci, amount / each, most=FEW_PARTS) or _few_parts(exact)
        made = made or _scaled(own or {}, ci, amount / each, most=_MOST_PARTS)
    return {name: made[name] for name in exact} if made else None


def _lowest_terms(parts: Parts) -> dict[str, int] | None:
    """Whole parts in their lowest terms; None where they are not whole, or none."""
    if not parts or any(amount != round(amount) for amount in parts.values()):
        return None
    by = math.gcd(*map(round, parts.values()))
    return {name: round(amount) // by for name, amount in parts.items()}


def _scaled(base: Mapping[str, int], ci: str, amount: float, *, most: int) -> dict[str, int] | None:
    """`base` with `amount` of `ci`, times the least that makes that nearly whole; at most so many.

    None where there is no such scale.
    """
    for scale in range(1, most // max(1, sum(base.values())) + 1):
        more = round(amount * scale)
        if more and abs(more - amount * scale) <= _NEAR * amount * scale:
            made = {name: count * scale for name, count in base.items()} | {ci: more}
            return made if base and sum(made.values()) <= most else None
    return None


def _few_parts(exact: Parts) -> dict[str, int] | None:
    """A recipe rounded to few parts in all: the fewest that look alike, else the nearest.

    None where even that lies half a step of a sibling away.
    """
    whole, target = math.fsum(exact.values()), lab(_mixed(_recipe(exact)))
    found: list[tuple[float, dict[str, int]]] = []
    for count in range(len(exact), FEW_PARTS + 1):
        made = {name: max(1, round(amount * count / whole)) for name, amount in exact.items()}
        if sum(made.values()) > FEW_PARTS:
            continue
        astray = lab_difference(lab(_mixed(_recipe(made))), target)
        if astray <= values("hiding.toml")["visible"].low:
            return made
        found.append((astray, made))
    astray, made = min(found, key=lambda each: each[0], default=(math.inf, {}))
    return made if astray <= values(FILE)["sibling-step"].value / 2 else None


def spoken(parts: Mapping[str, int]) -> dict[str, int]:
    """A recipe as a painter says it: whole parts in their lowest terms, and 0 for a touch.

    A touch is less than a thirtieth of the whole (common practice, no source).
    """
    whole = sum(parts.values())
    told = {key: amount for key, amount in parts.items() if amount >= TOUCH * whole}
    by = math.gcd(*told.values()) or 1
    return {key: amount // by if key in told else 0 for key, amount in parts.items()}
