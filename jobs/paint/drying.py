"""How long a coat takes to each gate, and how sure that is."""

import math
from collections.abc import Callable, Collection, Mapping
from dataclasses import dataclass
from datetime import timedelta
from statistics import NormalDist

from jobs.paint.binders import Binder, Wait, binder
from jobs.paint.drying_tables import (
    AIRINGS,
    NORMAL,
    Medium,
    airings,
    covered,
    drying_value,
    medium,
    thicknesses,
)
from jobs.paint.gates import GATES, THROUGH_DRY, at_least
from jobs.paint.pigments import (
    DryingClass,
    drying_classes,
    quickest_class,
    slowest_class,
    unknown_pigments,
)

GAS_CONSTANT = 8.314
REFERENCE_C = 20.0
REFERENCE_HUMIDITY = 50.0
OIL_ENERGY = drying_value("energy-oil")

FACTOR_RANGE = (0.05, 20.0)
"""Between these a studio's own factor lies, whatever its tests say."""

_NEARLY_ALL = 1 - 1e-9
_LEAST_LONGER = 1.05
_THICKEST_UM = 5000.0
# A century and more: calendars end before sums do.
_LONGEST_HOURS = 1e6


@dataclass(frozen=True)
class Climate:
    """The air of the room: degrees Celsius and relative humidity in per cent."""

    temperature_c: float = REFERENCE_C
    humidity: float = REFERENCE_HUMIDITY

    def __post_init__(self) -> None:
        if not -20 <= self.temperature_c <= 60:
            raise ValueError("A room's temperature lies between -20 and 60 °C.")
        if not 0 <= self.humidity <= 100:
            raise ValueError("Humidity lies between 0 and 100 %.")


@dataclass(frozen=True)
class Factor:
    """What a studio's own touch tests make of the published times.

    `median` multiplies the wait; `sd` is what is still unsure of its logarithm, None as long as
    nothing was learnt. ValueError for a factor outside 1/20 to 20, or a negative sd.
    """

    median: float = 1.0
    sd: float | None = None

    def __post_init__(self) -> None:
        if not FACTOR_RANGE[0] <= self.median <= FACTOR_RANGE[1]:
            raise ValueError("A studio's own factor lies between 1/20 and 20.")
        if self.sd is not None and not 0 <= self.sd < math.inf:
            raise ValueError("The spread of a factor cannot be less than nothing.")


UNTAUGHT = Factor()
"""The published times as they stand."""


@dataclass(frozen=True)
class Drying:
    """A wait as a lognormal: its median, its sigma, and a floor below which it never falls.

    `beyond_data` says that room, film or pigment lie outside what the sources cover; `why`
    says which, in sentences.
    """

    median: timedelta
    sigma: float
    beyond_data: bool = False
    least: timedelta = timedelta(0)
    why: str = ""

    def at(self, quantile: float, *, elapsed: timedelta = timedelta(0)) -> timedelta:
        """The wait that is long enough in `quantile` (between 0 and 1) of all cases.

        `elapsed` is how long the coat was found still wet: only the cases that take longer count
        then, so the answer is the quantile of the lognormal cut off there. It always lies beyond
        `elapsed`, by a twentieth of it at least, also where the table knows of no wait or of no
        spread. ValueError for a quantile off the scale.
        """
        if not 0 < quantile < 1:
            raise ValueError("A likelihood lies between 0 and 1, both left out.")
        found_wet = elapsed > timedelta(0)
        wait = max(self.least, self.median)
        if self.median and self.sigma:
            normal = NormalDist(0, self.sigma)
            past = normal.cdf(math.log(elapsed / self.median)) if found_wet else 0.0
            share = min(past + quantile * (1 - past), _NEARLY_ALL)
            wait = max(self.least, self.median * math.exp(normal.inv_cdf(share)))
        return max(wait, elapsed * _LEAST_LONGER) if found_wet else wait

    @property
    def likely(self) -> timedelta:
        """Long enough as often as not."""
        return self.at(0.5)

    @property
    def surely(self) -> timedelta:
        """Long enough in 95 cases of 100."""
        return self.at(0.95)


def arrhenius(
    temperature_c: float, *, energy: float = OIL_ENERGY, reference_c: float = REFERENCE_C
) -> float:
    """Factor on a drying time at `temperature_c` against `reference_c`; 1 at the reference.

    exp(E/R (1/T - 1/T0)) with E in kJ/mol and T in kelvin. The default of 50 kJ/mol for oils
    is chosen within 43-66: 66 +/- 4 for linolenic acid (Ulkowski, Musialik & Litwinienko,
    J. Agric. Food Chem. 53 (2005) 9073), 43.5 implied by a colourmaker's 24 h at 21 °C
    against 1 h at 85 °C, 48-51 by the coating trade's doubling for 10 °C. The first was
    measured hot on clear acid: for paint at room temperature it is an extrapolation.
    """
    kelvin, reference = temperature_c + 273.15, reference_c + 273.15
    return math.exp(energy * 1000 / GAS_CONSTANT * (1 / kelvin - 1 / reference))


def damp_air(humidity: float, *, family: str) -> float:
    """Factor on a drying time at `humidity` per cent, 1 at 50 %, never under 0.8.

    Water leaves a film in proportion to what the air can still take up (Dalton's law of
    evaporation): 50 / (100 - humidity), held from 95 % on. Oils, resins and shellac keep
    their time up to 70-75 % and grow slower above: a paint maker's winter advice and a
    colourmaker's drying page say so without figures; doubling at 100 % is common practice,
    no source.
    """
    if family == "water":
        taken_up = 100 - min(humidity, drying_value("dampest-counted"))
        return max(drying_value("dry-air-least"), REFERENCE_HUMIDITY / taken_up)
    if family in ("oil", "resin", "shellac"):
        steady = drying_value(f"steady-{family}")
        return 1.0 + max(0.0, humidity - steady) / (100 - steady)
    return 1.0


def thickness(paint: Binder, thickness_um: float | None, *, depth: bool = False) -> float:
    """Factor on a drying time of `thickness_um` of wet film against the usual; 1 for None.

    (x / x0) ^ n with 1 <= n <= 2: 1 where the surface sets the pace (steady evaporation, or a
    reaction with what oxygen there is), 2 where something must diffuse through the film
    (Crank, The Mathematics of Diffusion, from memory; oxygen starved in depth: Thomson,
    National Gallery Technical Bulletin 2 (1978) 66-70). No table of artists' oils by thickness
    was found, and none of wax: its thickness counts nothing. A film under half the usual one
    counts as half. ValueError for no thickness, or more than 5 mm.
    """
    if thickness_um is None:
        return 1.0
    if not thickness_um > 0:
        raise ValueError("A coat has some thickness: more than nothing.")
    if thickness_um > _THICKEST_UM:
        raise ValueError("What lies thicker than 5 mm is no coat of paint.")
    if not paint.film_um:
        return 1.0
    share = max(covered()["film"].low, thickness_um / paint.film_um)
    exponents = thicknesses().get(paint.family)
    if exponents is None:
        return 1.0
    return float(share ** (exponents.depth if depth else exponents.surface))


@dataclass(frozen=True)
class Pace:
    """The class that governs a mix in oil, and the quickest it may be where sources disagree."""

    slow: DryingClass
    quick: DryingClass


def pace_of(parts: Mapping[str, float], own: Mapping[str, str] | None = None) -> Pace:
    """How quickly a mix of `parts` dries in oil, as `governing_class` has it of each reading."""
    return Pace(governing_class(parts, own), governing_class(parts, own, of_pigment=quickest_class))


def governing_class(
    parts: Mapping[str, float],
    own: Mapping[str, str] | None = None,
    *,
    of_pigment: Callable[[Collection[str]], DryingClass] = slowest_class,
) -> DryingClass:
    """The drying class that governs a mix of `parts` by Colour Index name.

    The slowest class of which, with all that is slower still, the mix holds a significant
    share (a tenth: common practice, no source): so a part more of something slower never
    quickens the mix. An unknown pigment counts as slow, no pigment at all as medium. `own` are
    keys of drying classes that a studio puts in place of the table's, by pigment; `of_pigment`
    reads the table for one. ValueError for a part less than nothing, or parts that add up to
    nothing.
    """
    if not parts:
        return of_pigment(())
    total = _total(parts)
    share = 0.0
    table = drying_classes()
    found = {ci: table[own[ci]] if own and ci in own else of_pigment([ci]) for ci in parts}
    classes = sorted(table.values(), key=lambda each: (each.surface, each.depth))
    for each in reversed(classes):
        share += sum(float(part) for ci, part in parts.items() if found[ci] == each)
        if share >= drying_value("significant-share") * total:
            return each
    return classes[0]


def drying(
    binder_key: str | Binder,
    gate: str,
    climate: Climate,
    *,
    pigments: Collection[str] = (),
    parts: Mapping[str, float] | None = None,
    thickness_um: float | None = None,
    medium: str = "",
    airing: str = NORMAL,
    factor: Factor = UNTAUGHT,
    own_classes: Mapping[str, str] | None = None,
    lends: Callable[[str], Binder] = binder,
    pace: DryingClass | None = None,
) -> Drying:
    """The wait from the last brush stroke of one coat to `gate` in that climate.

    A Binder in place of its key stands for itself, say with a studio's own values; `lends` gives
    the one whose waits a medium lends. `pigments` are Colour Index names; the slowest among
    them governs an oil coat, an unknown one counts as slow, and none at all as the medium
    class. `parts` weigh them instead, with a studio's `own_classes` in place of the table's
    (`governing_class`); `pace` is the class where it is known already. `thickness_um` is of the
    wet film (the usual one when None), `medium` a key of the media table or "", `airing` still,
    normal or moved. `factor` is the studio's own: it goes for the gates a finger judges, and
    for those in the depth only when it is slower. Nothing quick shortens those: a fast surface
    can starve the film below (Stenberg et al., Ind. Crops Prod. 21 (2005) 263). ValueError, in
    the painter's words, for an unknown key, a medium of another family, or an impossible mix.
    """
    paint = binder_key if isinstance(binder_key, Binder) else binder(binder_key)
    if gate not in GATES:
        raise ValueError(f"There is no gate '{gate}'.")
    if airing not in AIRINGS:
        raise ValueError(f"The air is {', '.join(AIRINGS)}; not '{airing}'.")
    pace = pace or _governing(pigments, parts, own_classes)
    depth = at_least(gate, THROUGH_DRY.key)
    slower = thickness(paint, thickness_um, depth=depth)
    wait = _wait(paint, gate, pace=pace, worked_in=_fitting(medium, paint), lends=lends)
    if wait is None:
        return Drying(timedelta(0), 0.0)
    slower *= arrhenius(climate.temperature_c, energy=paint.energy)
    slower *= damp_air(climate.humidity, family=paint.family) * _airing(airing, paint.family)
    slower *= max(1.0, factor.median) if depth else factor.median
    why = _beyond(paint, climate, parts or dict.fromkeys(pigments, 1), thickness_um)
    return Drying(
        median=timedelta(hours=min(max(wait.hours * slower, wait.least_hours), _LONGEST_HOURS)),
        sigma=wait.sigma if depth else _sigma(wait.sigma, factor),
        beyond_data=bool(why),
        least=timedelta(hours=wait.least_hours),
        why=why,
    )


def learning_key(
    binder_key: str,
    *,
    pigments: Collection[str] = (),
    parts: Mapping[str, float] | None = None,
    medium: str = "",
    own_classes: Mapping[str, str] | None = None,
) -> tuple[str, str]:
    """Binder and drying class under which a studio learns of such a coat.

    The class is "" for a binder whose waits do not go by pigment; a medium that lends a
    colour another binder's waits lends its key too.
    """
    paint = binder(binder_key)
    worked_in = _fitting(medium, paint)
    if worked_in and worked_in.like:
        return worked_in.like, ""
    pace = _governing(pigments, parts, own_classes)
    return paint.key, pace.key if paint.by_pigment else ""


def _governing(
    pigments: Collection[str], parts: Mapping[str, float] | None, own: Mapping[str, str] | None
) -> DryingClass:
    return slowest_class(pigments) if parts is None else governing_class(parts, own)


def spread_of(sigma: float) -> tuple[float, float]:
    """A published spread taken apart: between studios, and between the coats of one.

    Their squares add up to sigma's, and stand as 1 to the tests that the published times are
    worth, three (common practice, no source).
    """
    worth = drying_value("prior-worth")
    return sigma / math.sqrt(1 + worth), sigma * math.sqrt(worth / (1 + worth))


def _sigma(sigma: float, factor: Factor) -> float:
    if factor.sd is None:
        return sigma
    return math.hypot(spread_of(sigma)[1], factor.sd)


def _wait(
    paint: Binder,
    gate: str,
    *,
    pace: DryingClass,
    worked_in: Medium | None,
    lends: Callable[[str], Binder],
) -> Wait | None:
    wait = paint.waits.get(gate)
    if wait is None:
        return None
    depth = at_least(gate, THROUGH_DRY.key)
    hours = wait.hours
    if paint.by_pigment:
        hours *= pace.depth if depth else pace.surface
    if worked_in is None:
        return Wait(hours, wait.sigma, wait.least_hours)
    hours *= worked_in.depth if depth else worked_in.surface
    if worked_in.like:
        other = lends(worked_in.like).waits[gate]
        if other.hours < hours:
            return Wait(other.hours, other.sigma, wait.least_hours)
    return Wait(hours, wait.sigma, wait.least_hours)


def _fitting(key: str, paint: Binder) -> Medium | None:
    if not key:
        return None
    found = medium(key)
    if paint.family not in found.families:
        raise ValueError(f"{found.name.capitalize()} does not go into {paint.name}.")
    return found


def _airing(airing: str, family: str) -> float:
    if airing == NORMAL or family in ("none", "dry"):
        return 1.0
    return float(getattr(airings()[airing], family))


def _total(parts: Mapping[str, float]) -> float:
    if any(not 0 <= float(part) < math.inf for part in parts.values()):
        raise ValueError("A part of a mix cannot be less than nothing.")
    total = sum(float(part) for part in parts.values())
    if not total:
        raise ValueError("The parts of the mix add up to nothing.")
    return total


def _beyond(
    paint: Binder, climate: Climate, parts: Mapping[str, float], thickness_um: float | None
) -> str:
    """Sentences on what lies outside the sources; "" when nothing does."""
    why = []
    rooms, air, films = (covered()[key] for key in ("temperature", "humidity", "film"))
    cold, warm = max(rooms.low, paint.lowest_c), rooms.high
    if not cold <= climate.temperature_c <= warm:
        room = f"{climate.temperature_c:g} °C"
        why.append(f"The sources cover {cold:g} to {warm:g} °C for {paint.name}, not {room}.")
    if not air.low <= climate.humidity <= air.high:
        damp = f"{air.low:g} to {air.high:g} % humidity, not {climate.humidity:g} %"
        why.append(f"The sources cover {damp}.")
    if paint.film_um and thickness_um is not None:
        thin, thick = paint.film_um * films.low, paint.film_um * films.high
        if not thin <= thickness_um <= thick:
            film = f"{thin:.0f} to {thick:.0f} microns of wet {paint.name}"
            why.append(f"The sources cover {film}, not {thickness_um:.0f}.")
    if paint.by_pigment and (unknown := _unknown(parts)):
        verb = "are" if len(unknown) > 1 else "is"
        why.append(f"{' and '.join(unknown)} {verb} not in the table and taken as slow.")
    return " ".join(why)


def _unknown(parts: Mapping[str, float]) -> tuple[str, ...]:
    found = unknown_pigments(parts)
    least = drying_value("significant-share") * sum(float(part) for part in parts.values())
    return found if sum(float(parts[ci]) for ci in found) >= least else ()
