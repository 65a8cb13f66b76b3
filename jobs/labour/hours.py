"""Hands-on minutes of a stage, with the arithmetic in words."""

from dataclasses import dataclass
from decimal import ROUND_CEILING, ROUND_HALF_UP, Decimal

from jobs.labour.stages import StageKind

LEAST_INTRICACY, MIDDLE_INTRICACY, MOST_INTRICACY = 1, 3, 5
"""The painter's own scale, from plain to the most knotted; common practice, no source."""
LARGEST_AREA_MM2 = 100_000_000
"""10 m by 10 m: more is a slip of the pen, not furniture."""

_MM2_PER_DM2 = 10_000
_HUNDREDTH = Decimal("0.01")


@dataclass(frozen=True)
class Size:
    """What a panel asks of the hand: area in mm2, and intricacy from 1 (plain) to 5.

    ValueError for an area of nothing or above 100 m2, or an intricacy off the scale.
    """

    area_mm2: float
    intricacy: int = MIDDLE_INTRICACY

    def __post_init__(self) -> None:
        if not 0 < self.area_mm2 <= LARGEST_AREA_MM2:
            raise ValueError("A panel's area lies above nothing and up to 100 m².")
        if not LEAST_INTRICACY <= self.intricacy <= MOST_INTRICACY:
            raise ValueError("Intricacy goes from 1 to 5.")

    @property
    def dm2(self) -> Decimal:
        """Area in dm2 to a hundredth, as the arithmetic in words shows it."""
        return _rounded(self.area_mm2 / _MM2_PER_DM2)


@dataclass(frozen=True)
class Hours:
    """Minutes of a stage. `per_coat` holds each coat's, set-up within; `words` tell the sum."""

    per_coat: tuple[int, ...]
    set_up: int
    sittings: int
    words: str

    @property
    def minutes(self) -> int:
        """All minutes of the stage, set-up within."""
        return sum(self.per_coat)


def coat_minutes(kind: StageKind, size: Size) -> int:
    """Hands-on minutes of one coat without set-up, rounded up to a whole minute.

    fixed + area x per_dm2 x (intricacy / 3) ^ power.
    """
    return int(_exact(kind, size).to_integral_value(ROUND_CEILING))


def stage_minutes(kind: StageKind, size: Size, *, coats: int | None = None) -> Hours:
    """Minutes of a whole stage of `coats` coats (the kind's own when left out).

    Each coat takes one sitting, or more when it is longer than the longest sitting; every
    sitting has its set-up. ValueError for less than one coat.
    """
    coats = kind.coats if coats is None else coats
    if coats < 1:
        raise ValueError("A stage has one coat at least.")
    coat = coat_minutes(kind, size)
    sittings = -(-coat // (kind.longest - kind.set_up)) or 1
    return Hours(
        per_coat=(coat + sittings * kind.set_up,) * coats,
        set_up=coats * sittings * kind.set_up,
        sittings=coats * sittings,
        words=_words(kind, size, coats, coats * sittings),
    )


def _exact(kind: StageKind, size: Size) -> Decimal:
    return size.dm2 * kind.per_dm2 * intricacy_factor(kind, size.intricacy) + kind.fixed


def intricacy_factor(kind: StageKind, intricacy: int) -> Decimal:
    """How much slower than at intricacy 3 the kind goes, to a hundredth; 1 for plain work."""
    return _rounded((intricacy / MIDDLE_INTRICACY) ** float(kind.power))


def _words(kind: StageKind, size: Size, coats: int, sittings: int) -> str:
    parts = []
    if kind.per_dm2:
        area = f"{_plain(size.dm2)} dm² × {_plain(kind.per_dm2)} min"
        if kind.power:
            area += f" × intricacy {_plain(intricacy_factor(kind, size.intricacy))}"
        parts.append(area)
    if kind.fixed:
        parts.append(f"{kind.fixed} min")
    words = " + ".join(parts)
    coat, exact = coat_minutes(kind, size), _exact(kind, size)
    if len(parts) > 1 or kind.per_dm2:
        words += f" {'=' if coat == exact else '≈'} {coat} min"
    if coats > 1:
        words += f" a coat, {coats} coats"
    if kind.set_up:
        words += f", + {sittings} × {kind.set_up} min set-up"
    return words


def _plain(value: Decimal) -> str:
    return f"{value.normalize():f}"


def _rounded(value: float) -> Decimal:
    return Decimal(str(value)).quantize(_HUNDREDTH, ROUND_HALF_UP)
