"""Two curves over a factor and what was seen under them: a belief before and after tests.

Sizes are in the drawing's own units, tenths of a millimetre. The factor's axis is logarithmic, so
that half as long lies as far from the middle as twice as long.
"""

import math
from collections.abc import Iterable, Sequence

from jobs.layout.drawing import Drawing, Label, Move, Path, line

WIDTH, HEIGHT = 1600.0, 760.0
_LEFT, _RIGHT, _TOP, _AXIS = 30.0, 1570.0, 30.0, 470.0
_FIRST_ROW, _ROW, _MOST_ROWS = 570.0, 18.0, 9
_LETTER = 40.0
_TICKS = (
    (0.25, "a quarter"),
    (0.5, "half"),
    (1.0, "as counted with"),
    (2.0, "twice"),
    (4.0, "four times"),
)
_FAINT = 0.01
_LEAST_REACH = math.log(2.4)

Point = tuple[float, float, float]
"""A factor, and its densities before and after."""
Seen = tuple[float, float]
"""Between which two factors a test found it: 0 and infinity leave an end open."""


def belief(points: Sequence[Point], seen: Iterable[Seen], *, title: str) -> Drawing:
    """Draw densities `points` over their factors, and the latest of `seen` as bars below.

    Both curves share one scale. ValueError for no points.
    """
    if not points:
        raise ValueError("A curve needs points.")
    reach = _reach(points)

    def across(factor: float) -> float:
        share = (math.log(factor) / reach + 1) / 2 if factor > 0 else 0.0
        return _LEFT + min(max(share, 0.0), 1.0) * (_RIGHT - _LEFT)

    top = max(max(before, after) for _, before, after in points)
    inside = [point for point in points if abs(math.log(point[0])) <= reach]

    def curve(place: int) -> tuple[Move, ...]:
        return line(*((across(p[0]), _AXIS - p[place] / top * (_AXIS - _TOP)) for p in inside))

    marks: list[Path | Label] = [
        *_axis(across, reach),
        Path(curve(1), "curve-before", title="before any test"),
        Path(curve(2), "curve-after", title="after your tests"),
        *_bars(list(seen)[-_MOST_ROWS:], across),
    ]
    return Drawing(WIDTH, HEIGHT, tuple(marks), title=title, kind="curve")


def _reach(points: Sequence[Point]) -> float:
    """How far from factor 1 either curve still stands up from the axis, as a logarithm."""
    tops = [max(point[place] for point in points) for place in (1, 2)]
    seen = [
        abs(math.log(factor))
        for factor, before, after in points
        if before > _FAINT * tops[0] or after > _FAINT * tops[1]
    ]
    return max(_LEAST_REACH, *seen)


def _axis(across, reach: float) -> Iterable[Path | Label]:
    yield Path(line((_LEFT, _AXIS), (_RIGHT, _AXIS)), "curve-axis")
    for factor, word in _TICKS:
        if abs(math.log(factor)) > reach:
            continue
        x = across(factor)
        yield Path(line((x, _AXIS), (x, _AXIS + 14)), "curve-axis")
        yield Label(x, _AXIS + 58, word, "label", size=_LETTER)
        if factor == 1.0:
            yield Path(line((x, _TOP), (x, _AXIS)), "curve-middle")


def _bars(seen: Sequence[Seen], across) -> Iterable[Path]:
    for row, (low, high) in enumerate(seen):
        y = _FIRST_ROW + row * _ROW
        left, right = across(low), across(high) if high < math.inf else _RIGHT
        yield Path(line((left, y), (right, y)), "curve-seen")
        for end in (left, right):
            # What runs off the picture has no end in it.
            if _LEFT < end < _RIGHT:
                yield Path(line((end, y - 6), (end, y + 6)), "curve-seen")
