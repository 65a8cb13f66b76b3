"""How long a coat takes to each gate, and how sure that is."""

import math
from collections.abc import Collection
from dataclasses import dataclass
from datetime import timedelta
from statistics import NormalDist

from jobs.paint.binders import Binder, binder
from jobs.paint.gates import GATES, THROUGH_DRY, at_least
from jobs.paint.pigments import slowest_class, unknown_pigments

GAS_CONSTANT = 8.314
REFERENCE_C = 20.0
REFERENCE_HUMIDITY = 50.0
OIL_ENERGY = 50.0

# Between these the published times and doubling rules were stated; beyond them is extrapolation.
DATA_CELSIUS = (10.0, 30.0)
DATA_HUMIDITY = (30.0, 80.0)

_STEADY_UP_TO = {"oil": 75.0, "resin": 75.0, "shellac": 70.0}
_DAMPEST = 95.0
_DRY_AIR_LEAST = 0.8
_NEARLY_ALL = 1 - 1e-9
_LEAST_LONGER = 1.05


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
class Drying:
    """A wait as a lognormal: its median, its sigma, and a floor below which it never falls.

    `beyond_data` says that room or pigment lie outside what the sources cover.
    """

    median: timedelta
    sigma: float
    beyond_data: bool = False
    least: timedelta = timedelta(0)

    def at(self, quantile: float, *, elapsed: timedelta = timedelta(0)) -> timedelta:
        """The wait that is long enough in `quantile` (between 0 and 1) of all cases.

        `elapsed` is how long the coat was found still wet: only the cases that take longer count
        then, so the answer is the quantile of the lognormal cut off there. It always lies beyond
        `elapsed`, by a twentieth of it at least. ValueError for a quantile off the scale.
        """
        if not 0 < quantile < 1:
            raise ValueError("A likelihood lies between 0 and 1, both left out.")
        if not self.median or not self.sigma:
            return max(self.least, self.median)
        normal = NormalDist(0, self.sigma)
        if elapsed > timedelta(0):
            past = normal.cdf(math.log(elapsed / self.median))
            quantile = min(past + quantile * (1 - past), _NEARLY_ALL)
        wait = max(self.least, self.median * math.exp(normal.inv_cdf(quantile)))
        return max(wait, elapsed * _LEAST_LONGER) if elapsed > timedelta(0) else wait

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
        return max(_DRY_AIR_LEAST, REFERENCE_HUMIDITY / (100 - min(humidity, _DAMPEST)))
    steady = _STEADY_UP_TO.get(family, 100.0)
    return 1.0 + max(0.0, humidity - steady) / (100 - steady) if steady < 100 else 1.0


def drying(
    binder_key: str, gate: str, climate: Climate, *, pigments: Collection[str] = ()
) -> Drying:
    """The wait from the last brush stroke of one thin coat to `gate` in that climate.

    `pigments` are Colour Index names; the slowest among them governs an oil coat, an unknown
    one counts as slow, and none at all as the medium class. A quick pigment never shortens
    through-dry: a fast surface can starve the film below (Stenberg et al., Ind. Crops Prod.
    21 (2005) 263). ValueError for an unknown binder or gate.
    """
    paint = binder(binder_key)
    if gate not in GATES:
        raise ValueError(f"There is no gate '{gate}'.")
    wait = paint.waits.get(gate)
    if wait is None:
        return Drying(timedelta(0), 0.0)
    hours = wait.hours * arrhenius(climate.temperature_c, energy=paint.energy)
    hours *= damp_air(climate.humidity, family=paint.family)
    if paint.by_pigment:
        pace = slowest_class(pigments)
        hours *= pace.depth if at_least(gate, THROUGH_DRY.key) else pace.surface
    return Drying(
        median=timedelta(hours=max(hours, wait.least_hours)),
        sigma=wait.sigma,
        beyond_data=_beyond_data(paint, climate, pigments),
        least=timedelta(hours=wait.least_hours),
    )


def _beyond_data(paint: Binder, climate: Climate, pigments: Collection[str]) -> bool:
    warm = max(DATA_CELSIUS[0], paint.lowest_c) <= climate.temperature_c <= DATA_CELSIUS[1]
    damp = DATA_HUMIDITY[0] <= climate.humidity <= DATA_HUMIDITY[1]
    known = not (paint.by_pigment and unknown_pigments(pigments))
    return not (warm and damp and known)
