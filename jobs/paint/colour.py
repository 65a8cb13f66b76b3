"""Colours as reflectance in three bands, and how far apart two of them look."""

import math
import re

from coloraide import Color

Bands = tuple[float, float, float]
"""Share of light sent back in a long, a middle and a short band of waves, each 0 to 1.

They are the linear channels of a screen colour (IEC 61966-2-1, sRGB) and stand for a whole
spectrum: two paints that look alike count as the same paint, which in a mix or a thin film
they need not be. What that costs is held in `data/mixing.toml` (`three-bands`)."""

Lab = tuple[float, float, float]
"""L*, a*, b* of CIELAB under daylight D65 (ISO/CIE 11664-4)."""


def bands(colour: str) -> Bands:
    """The three reflectances of a colour written #rrggbb. ValueError when it is not one."""
    if not isinstance(colour, str) or not re.fullmatch(r"#[0-9a-fA-F]{6}", colour):
        raise ValueError(f"A colour is written like #a0b1c2, not '{colour}'.")
    long, middle, short = Color(colour).convert("srgb-linear").coords()
    return long, middle, short


def swatch(reflectance: Bands) -> str:
    """The colour #rrggbb of three reflectances. ValueError when one is not from 0 to 1."""
    return _colour(reflectance).convert("srgb").to_string(hex=True)


def luminance(reflectance: Bands) -> float:
    """Y, the brightness as the eye weighs it: 0 for black, 1 for white."""
    _check(reflectance)
    return math.fsum(w * each for w, each in zip(_WEIGHTS, reflectance, strict=True))


def lab(reflectance: Bands) -> Lab:
    """CIELAB of three reflectances."""
    lightness, a, b = _colour(reflectance).convert("lab-d65").coords(nans=False)
    return lightness, a, b


def lab_difference(one: Lab, other: Lab) -> float:
    """Colour difference ΔE00 (CIEDE2000, ISO/CIE 11664-6); about 1 is just noticeable."""
    first, second = Color("lab-d65", list(one)), Color("lab-d65", list(other))
    return float(first.delta_e(second, method="2000"))


def difference(one: Bands, other: Bands) -> float:
    """Colour difference ΔE00 of two colours given by their reflectances."""
    return lab_difference(lab(one), lab(other))


def _check(reflectance: Bands) -> None:
    if not all(math.isfinite(each) and 0 <= each <= 1 for each in reflectance):
        raise ValueError("A surface sends back between none and all of the light.")


def _colour(reflectance: Bands) -> Color:
    _check(reflectance)
    return Color("srgb-linear", list(reflectance))


# Brightness is a sum over the bands, so three colours tell it for all.
_WEIGHTS = tuple(
    float(Color("srgb-linear", list(band)).convert("xyz-d65")["y"])
    for band in ((1, 0, 0), (0, 1, 0), (0, 0, 1))
)
