"""Where a panel stands on its surface and a surface on its face, and what it runs into.

Lengths are integer tenths of a millimetre from the top-left corner of what carries the thing.
"""

from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass
from itertools import pairwise, product

from jobs.layout.shapes import Shape, complaints, outline

HAIR = 0.5
"""Shared area in square tenths of a millimetre that still counts as touching."""

Box = tuple[int, int, int, int]
"""Left, top, right and bottom edge."""

Measure = Callable[[int], str]
"""Turns a length in tenths of a millimetre into words in the studio's units."""


@dataclass(frozen=True)
class Placed:
    """A named shape with the top-left corner of its box at (`left`, `top`)."""

    name: str
    shape: Shape
    left: int
    top: int

    @property
    def right(self) -> int:
        """Right edge of its box, tenths of a millimetre."""
        return self.left + self.shape.width

    @property
    def bottom(self) -> int:
        """Lower edge of its box, tenths of a millimetre."""
        return self.top + self.shape.height

    @property
    def boxes(self) -> tuple[Box, ...]:
        """The boxes that hold its paint: one, or of a frame one along each edge."""
        left, top, right, bottom = self.left, self.top, self.right, self.bottom
        if self.shape.kind != "frame" or complaints(self.shape):
            return ((left, top, right, bottom),)
        band = self.shape.band
        return (
            (left, top, right, top + band),
            (left, bottom - band, right, bottom),
            (left, top + band, left + band, bottom - band),
            (right - band, top + band, right, bottom - band),
        )


def outside(placed: Placed, width: int, height: int, measure: Measure | None = None) -> str | None:
    """A sentence saying where the panel leaves a surface of `width` x `height`, or None.

    With `measure` the sentence says by how much.
    """
    if placed.shape.width > width:
        return f"{placed.name} is wider than its surface{_by(placed.shape.width - width, measure)}."
    if placed.shape.height > height:
        return (
            f"{placed.name} is higher than its surface{_by(placed.shape.height - height, measure)}."
        )
    beyond = {
        "left": -placed.left,
        "right": placed.right - width,
        "top": -placed.top,
        "bottom": placed.bottom - height,
    }
    edge = max(beyond, key=lambda side: beyond[side])
    if beyond[edge] <= 0:
        return None
    return f"{placed.name} runs past the {edge} edge of its surface{_by(beyond[edge], measure)}."


def overlaps(placed: Placed, others: Iterable[Placed]) -> tuple[str, ...]:
    """Names of those `others` whose paint would share ground with this panel.

    Edges may touch. A shape that cannot be painted (see `shapes.complaints`) overlaps nothing.
    """
    if complaints(placed.shape):
        return ()
    mine = outline(placed.shape, placed.left, placed.top)
    return tuple(
        other.name
        for other in others
        if _boxes_meet(placed, other)
        and not complaints(other.shape)
        and mine.intersection(outline(other.shape, other.left, other.top)).area > HAIR
    )


def next_free_place(
    shape: Shape, placed: Sequence[Placed], width: int, height: int
) -> tuple[int, int] | None:
    """The (left, top) a painter would try first for a new panel, or None where nothing fits.

    Alone it stands in the middle; beside others it stands where it has most air all round, and of
    equally airy places in the one first in reading order. Only boxes are looked at, of a frame
    that of each of its four sides, so that a picture may go inside. A frame itself goes round a
    panel where it can.
    """
    spare = (width - shape.width, height - shape.height)
    if min(spare) < 0:
        return None
    if not placed:
        return spare[0] // 2, spare[1] // 2
    taken = [box for other in placed for box in other.boxes]
    if shape.kind == "frame" and (place := _round_one(shape, placed, (width, height))):
        return place
    lefts = _tries(spare[0], [(box[0], box[2]) for box in taken], shape.width)
    tops = _tries(spare[1], [(box[1], box[3]) for box in taken], shape.height)
    best, most_air = None, -1
    for top, left in product(tops, lefts):
        air = _air(Placed("", shape, left, top), taken, (width, height), most_air)
        if air > most_air:
            best, most_air = (left, top), air
    return best


def next_surface_place(
    others: Sequence[tuple[int, int, int, int]], width: int, height: int
) -> tuple[int, int]:
    """The (left, top) of a new surface on a face: to the right of all, standing on one line.

    others: (left, top, width, height) of each surface there. A surface too tall for that hangs
    from the top of the face instead, so that no place is negative.
    """
    if not others:
        return 0, 0
    right = max(left + across for left, _, across, _ in others)
    floor = max(top + down for _, top, _, down in others)
    return right, max(0, floor - height)


def _by(length: int, measure: Measure | None) -> str:
    return f" by {measure(length)}" if measure else ""


def _boxes_meet(one: Placed, other: Placed) -> bool:
    return (
        one.left < other.right
        and other.left < one.right
        and one.top < other.bottom
        and other.top < one.bottom
    )


def _round_one(
    frame: Shape, placed: Sequence[Placed], room: tuple[int, int]
) -> tuple[int, int] | None:
    """The place that sets a frame evenly round the first panel that fits inside, or None."""
    across, down = frame.hole
    taken = [box for other in placed for box in other.boxes]
    for other in placed:
        left = (other.left + other.right - frame.width) // 2
        top = (other.top + other.bottom - frame.height) // 2
        fits = other.shape.width <= across and other.shape.height <= down
        if fits and _air(Placed("", frame, left, top), taken, room, -1) >= 0:
            return left, top
    return None


def _tries(spare: int, taken: Sequence[tuple[int, int]], size: int) -> list[int]:
    """Starts worth trying along one side: edges, middle, beside and half-way to each neighbour."""
    starts = {0, spare // 2, spare}
    for begin, end in taken:
        starts |= {begin, end, begin - size}
    ends = sorted({0, spare + size, *(edge for pair in taken for edge in pair)})
    starts |= {(a + b - size) // 2 for a, b in pairwise(ends)}
    return sorted(start for start in starts if 0 <= start <= spare)


def _air(one: Placed, taken: Sequence[Box], room: tuple[int, int], beat: int) -> int:
    """The narrowest gap round the panel, -1 where it lies over another or cannot pass `beat`."""
    air = min(one.left, one.top, room[0] - one.right, room[1] - one.bottom)
    for (left, top, right, bottom), other in product(one.boxes, taken):
        across = max(other[0] - right, left - other[2])
        down = max(other[1] - bottom, top - other[3])
        gap = max(across, down)
        if gap < 0 or min(air, gap) <= beat:
            return -1
        air = min(air, gap)
    return air
