"""The two-flux film of Kubelka and Munk: light scattered and absorbed in a coat over a ground.

P. Kubelka & F. Munk, Zeitschrift für technische Physik 12 (1931) 593 (the two differential
equations); P. Kubelka, J. Opt. Soc. Am. 38 (1948) 448 (the hyperbolic solution). One coat has
one scattering power S and one absorption K; the gloss of its surface is left out.
"""

import math

DARKEST, LIGHTEST = 0.002, 0.98
"""No coat sends back less or more: an endless film of 0 or 1 has no finite K/S."""


def absorption_ratio(full: float) -> float:
    """K/S of a coat so thick that its ground counts no more and `full` is its reflectance.

    (1 - R)^2 / 2R, with R first brought between `DARKEST` and `LIGHTEST`.
    """
    held = min(max(full, DARKEST), LIGHTEST)
    return (1 - held) ** 2 / (2 * held)


def full_reflectance(ratio: float) -> float:
    """Reflectance of an endlessly thick coat of that K/S. ValueError when it is below nothing."""
    if ratio < 0:
        raise ValueError("A coat cannot absorb less than nothing.")
    return 1 / (1 + ratio + math.sqrt(ratio * ratio + 2 * ratio))


def film(ground: float, *, absorbing: float, scattering: float) -> float:
    """Reflectance of a film over a ground of reflectance `ground`.

    `absorbing` is K times thickness, `scattering` S times thickness, both without unit. With
    a = 1 + K/S and b = sqrt(a^2 - 1) this is [1 - Rg (a - b coth bSX)] / [a - Rg + b coth bSX],
    written so that no film gives the ground, no scattering Rg exp(-2KX) and no absorption the
    white film. ValueError for less than nothing of either.
    """
    if absorbing < 0 or scattering < 0:
        raise ValueError("A film cannot be thinner than nothing.")
    both = absorbing + scattering
    depth = math.sqrt(absorbing * (absorbing + 2 * scattering))
    reach = math.tanh(depth) / depth if depth > 1e-9 else 1.0
    above = (scattering - both * ground) * reach + ground
    # Rounding may leave a hair less than nothing of the light.
    return max(0.0, above / ((both - scattering * ground) * reach + 1))


def over(ground: float, *, full: float, scattering: float) -> float:
    """Reflectance over `ground` of a coat whose endlessly thick film has `full`.

    `scattering` is S times thickness. `full` is held as in `absorption_ratio`.
    """
    return film(ground, absorbing=absorption_ratio(full) * scattering, scattering=scattering)
