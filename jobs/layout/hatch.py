"""Strokes that fill a drawing: hatching, the figure of wood, gently waving edges.

They are laid as geometry and not as patterns, so that screen and paper show the same strokes.
"""

from collections.abc import Callable
from dataclasses import dataclass, replace
from math import hypot, pi, sin
from zlib import crc32

from shapely import LineString, MultiLineString, Polygon
from shapely.geometry.base import BaseGeometry

from jobs.layout.drawing import Move, line


def hatching(area: Polygon, gap: float, rising: bool = True) -> tuple[Move, ...]:
    """Parallel strokes at 45 degrees, `gap` apart, that lie within `area`.

    The strokes hang on a fixed raster, so hatchings that touch run on into one another.
    """
    if area.is_empty or not area.is_valid:
        return ()
    left, top, right, bottom = area.bounds
    step = gap * 2**0.5
    slope = -1 if rising else 1
    corners = [y - slope * x for x in (left, right) for y in (top, bottom)]
    low, high = min(corners), max(corners)
    first = int(low // step) + 1
    strokes = MultiLineString(
        [
            LineString(
                [(left, slope * left + raster * step), (right, slope * right + raster * step)]
            )
            for raster in range(first, int(high // step) + 1)
        ]
    )
    return tuple(move for piece in _pieces(strokes.intersection(area)) for move in piece)


def chance(*key: object) -> float:
    """A number from 0 to 1 that is always the same for the same key."""
    return crc32("|".join(map(str, key)).encode()) / 0xFFFFFFFF


@dataclass(frozen=True)
class Wave:
    """A gently waving edge about `level`, by the sum of two sine curves over `length`."""

    level: float
    length: float
    swing: float
    key: str

    def at(self, x: float) -> float:
        """Height of the edge at `x`, in the drawing's units."""
        return self.level + sum(swing * sin(turn * x + lag) for swing, turn, lag in self._parts())

    def slope(self, x: float) -> float:
        """Rise of the edge at `x`, a pure number."""
        return sum(
            swing * turn * sin(turn * x + lag + pi / 2) for swing, turn, lag in self._parts()
        )

    def curve(self, start: float, end: float, pieces: int = 4) -> tuple[Move, ...]:
        """Cubic pieces from `start` to `end`, which may lie to the left; no opening "M"."""
        step = (end - start) / pieces
        moves: list[Move] = []
        for place in range(pieces):
            a, b = start + place * step, start + (place + 1) * step
            third = step / 3
            moves.append(
                (
                    "C",
                    *(a + third, self.at(a) + third * self.slope(a)),
                    *(b - third, self.at(b) - third * self.slope(b)),
                    *(b, self.at(b)),
                )
            )
        return tuple(moves)

    def _parts(self) -> tuple[tuple[float, float, float], ...]:
        lag = 2 * pi * chance(self.key, "lag")
        other = 2 * pi * chance(self.key, "other")
        return (
            (self.swing * 0.7, 2 * pi / self.length * (0.8 + chance(self.key, "turn")), lag),
            (self.swing * 0.3, 2 * pi / self.length * (2.1 + chance(self.key, "more")), other),
        )


def between(upper: Wave, lower: Wave, left: float, right: float) -> tuple[Move, ...]:
    """The closed band between two edges."""
    return (
        ("M", left, upper.at(left)),
        *upper.curve(left, right),
        ("L", right, lower.at(right)),
        *lower.curve(right, left),
        ("Z",),
    )


def band_area(upper: Wave, lower: Wave, left: float, right: float) -> Polygon:
    """The same band as a polygon, for hatching."""
    places = [left + (right - left) * step / 24 for step in range(25)]
    over = [(x, upper.at(x)) for x in places]
    return Polygon([*over, *((x, lower.at(x)) for x in reversed(places))])


def grain(
    left: float, top: float, width: float, height: float, key: str, count: int
) -> tuple[Move, ...]:
    """`count` lines of wood figure along the longer side of a board, flowing together."""
    upright = height > width
    length, breadth = (height, width) if upright else (width, height)
    place: Callable[[float, float], tuple[float, float]] = (
        (lambda along, across: (left + across, top + along))
        if upright
        else (lambda along, across: (left + along, top + across))
    )
    flow = Wave(0, length, breadth / count * 0.9, key)
    gaps = [0.45 + chance(key, number, "gap") for number in range(count + 1)]
    pitch = breadth / sum(gaps)
    swing = flow.swing
    moves: list[Move] = []
    level = 0.0
    for number in range(count):
        level += gaps[number] * pitch
        calm = min(1.0, level / (2 * swing), (breadth - level) / (2 * swing))
        line_of_figure = replace(flow, level=level, swing=swing * calm)
        moves.append(("M", *place(0, line_of_figure.at(0))))
        for _, *numbers in line_of_figure.curve(0, length, 5):
            pairs = zip(numbers[::2], numbers[1::2], strict=True)
            moves.append(("C", *(value for pair in pairs for value in place(*pair))))
    return tuple(moves)


def _pieces(strokes: BaseGeometry) -> list[tuple[Move, ...]]:
    parts = getattr(strokes, "geoms", [strokes])
    found = []
    for part in parts:
        if part.geom_type != "LineString" or part.is_empty:
            continue
        ends = (part.coords[0], part.coords[-1])
        if hypot(ends[1][0] - ends[0][0], ends[1][1] - ends[0][1]) > 0:
            found.append(line(*((x, y) for x, y in ends)))
    return found
