"""Shapes of panels: how large they are, where their edge runs, what is wrong with them.

Lengths are integer tenths of a millimetre; areas come in square millimetres, because that is what
hours and paint are reckoned from.
"""

from collections.abc import Iterable
from dataclasses import dataclass
from math import acos, ceil, cos, hypot, pi, sin, tan

from shapely import Polygon
from shapely.affinity import translate

from jobs.layout.drawing import Move, box, line

KINDS = ("rectangle", "circle", "oval", "arch", "polygon", "frame")
LONGEST = 100_000
"""Ten metres: beyond this a size is a slip of the pen."""
MOST_CORNERS = 60
TOO_MANY_CORNERS = (
    f"More than {MOST_CORNERS} corners: keep those where the edge turns sharply, or take an oval "
    "or an arch and paint its finer edge by eye."
)
STEPS = 90
"""Straight pieces to a quarter turn in an `outline`: one metre of radius strays 0.04 mm."""

Complaint = tuple[str, str]
Point = tuple[float, float]


@dataclass(frozen=True)
class Shape:
    """A panel's outline in its box of `width` x `height` tenths of a millimetre.

    kind: one of KINDS. A circle is as high as it is wide. An oval is the ellipse of its box. An
    arch has straight sides and a round head as high as `rise`; a rise of 0 means as high as the
    box allows, that is a half circle, or a flatter (segmental) curve in a low box. A polygon has
    its corners at `points`, counted from the top-left corner of its box. A frame is the `band`
    along all four edges of its box; what lies inside it is not its own.
    """

    kind: str
    width: int
    height: int
    points: tuple[tuple[int, int], ...] = ()
    rise: int = 0
    band: int = 0

    def __post_init__(self) -> None:
        if self.kind == "circle":
            object.__setattr__(self, "height", self.width)
        object.__setattr__(self, "points", tuple((x, y) for x, y in self.points))

    @property
    def hole(self) -> tuple[int, int]:
        """Width and height of what a frame leaves free, tenths of a millimetre."""
        return self.width - 2 * self.band, self.height - 2 * self.band


def polygon(corners: Iterable[tuple[int, int]]) -> Shape:
    """The polygon with these corners, moved so that its box begins at nought."""
    corners = tuple(corners)
    if not corners:
        return Shape("polygon", 0, 0)
    left, top = min(x for x, _ in corners), min(y for _, y in corners)
    points = tuple((x - left, y - top) for x, y in corners)
    return Shape("polygon", max(x for x, _ in points), max(y for _, y in points), points)


def area(shape: Shape) -> float:
    """Area in square millimetres, by the exact formula of the shape.

    The head of an arch is a circular segment: r²(a - sin a)/2 with a its angle at the centre.
    """
    width, height = shape.width, shape.height
    match shape.kind:
        case "circle" | "oval":
            tenths = pi * width * height / 4
        case "arch":
            rise, radius, half_angle = _head(shape)
            head = radius**2 * (2 * half_angle - sin(2 * half_angle)) / 2
            tenths = width * (height - rise) + head
        case "polygon":
            tenths = abs(sum(a[0] * b[1] - b[0] * a[1] for a, b in _edges(shape))) / 2
        case "frame":
            across, down = shape.hole
            tenths = width * height - across * down
        case _:
            tenths = width * height
    return tenths / 100


def half_diagonal(shape: Shape) -> float:
    """From the centre of the box to its corner, in tenths of a millimetre."""
    return hypot(shape.width, shape.height) / 2


def outline(shape: Shape, left: float = 0, top: float = 0) -> Polygon:
    """The shape at its place as a shapely polygon, curves in STEPS pieces to a quarter turn.

    The corners of the pieces lie on the true curve, so the outline is never larger than the shape.
    """
    width, height = shape.width, shape.height
    holes = []
    match shape.kind:
        case "circle" | "oval":
            corners = _arc((width / 2, height / 2), width / 2, height / 2, 0, 2 * pi)[:-1]
        case "arch":
            corners = [(width, height), (0.0, height), *_arch_head(shape)]
        case "polygon":
            corners = list(shape.points)
        case "frame":
            corners = _corners(0, 0, width, height)
            holes = [_corners(shape.band, shape.band, *shape.hole)]
        case _:
            corners = _corners(0, 0, width, height)
    return translate(Polygon(corners, holes), left, top)


def moves(shape: Shape, left: float = 0, top: float = 0) -> tuple[Move, ...]:
    """The closed outline at its place as moves of a drawing, curves as cubic Bézier pieces.

    The inner edge of a frame goes round the other way, so that it is a hole by either filling rule.
    """
    width, height = shape.width, shape.height
    match shape.kind:
        case "circle" | "oval":
            return ellipse(left + width / 2, top + height / 2, width / 2, height / 2)
        case "arch":
            rise, radius, half_angle = _head(shape)
            centre = (left + width / 2, top + radius)
            springing = top + rise
            head = _bezier_arc(centre, radius, radius, -pi / 2 - half_angle, -pi / 2 + half_angle)
            start = line((left, top + height), (left, springing))
            return (*start, *head, ("L", left + width, top + height), ("Z",))
        case "polygon":
            return (*line(*((left + x, top + y) for x, y in shape.points)), ("Z",))
        case "frame":
            inside = _corners(left + shape.band, top + shape.band, *shape.hole)
            return (*box(left, top, width, height), *line(*reversed(inside)), ("Z",))
    return box(left, top, width, height)


def ellipse(x: float, y: float, across: float, down: float) -> tuple[Move, ...]:
    """Moves of an ellipse about (x, y) with half-axes `across` and `down`."""
    return (("M", x + across, y), *_bezier_arc((x, y), across, down, 0, 2 * pi), ("Z",))


def complaints(shape: Shape) -> tuple[Complaint, ...]:
    """What is wrong with the shape, as (field, sentence); empty when it can be painted.

    Fields: "kind", "width", "height", "rise", "points", "band".
    """
    if shape.kind not in KINDS:
        return (("kind", f"A panel is one of: {', '.join(KINDS)}."),)
    if shape.kind == "polygon":
        found = _corner_complaints(shape.points)
        if found:
            return found
    sides = [("width", shape.width)]
    if shape.kind != "circle":
        sides.append(("height", shape.height))
    found = tuple(
        (field, sentence) for field, side in sides if (sentence := _side_complaint(field, side))
    )
    if not found and shape.kind == "arch":
        found = _rise_complaints(shape)
    if not found and shape.kind == "polygon":
        found = _box_complaints(shape)
    if not found and shape.kind == "frame":
        found = _band_complaints(shape)
    return found


def _side_complaint(field: str, side: int) -> str:
    if side <= 0:
        return f"The {field} must be more than nothing."
    if side > LONGEST:
        return f"The {field} comes to more than ten metres: is it in the right unit?"
    return ""


def _rise_complaints(shape: Shape) -> tuple[Complaint, ...]:
    if shape.rise < 0:
        return (("rise", "The head of the arch cannot rise by less than nothing."),)
    if shape.rise > min(shape.width // 2, shape.height):
        return (
            (
                "rise",
                "The head of the arch rises at most half its width, and not above its height.",
            ),
        )
    return ()


def _band_complaints(shape: Shape) -> tuple[Complaint, ...]:
    if shape.band <= 0:
        return (("band", "The band of a frame must be more than nothing."),)
    if min(shape.hole) <= 0:
        sentence = "That leaves nothing inside: the band is less than half the width and height."
        return (("band", sentence),)
    return ()


def _corner_complaints(points: tuple[tuple[int, int], ...]) -> tuple[Complaint, ...]:
    if len(points) > MOST_CORNERS:
        return (("points", TOO_MANY_CORNERS),)
    if len(set(points)) < 3:
        return (("points", "A panel with straight sides needs at least three different corners."),)
    if max(abs(value) for point in points for value in point) > LONGEST:
        return (("points", "A corner lies more than ten metres away: is it in the right unit?"),)
    drawn = Polygon(points)
    if drawn.area == 0:
        return (("points", "The corners lie in one line and enclose nothing."),)
    if not drawn.is_valid:
        return (("points", "The sides cross or touch each other: give the corners in order."),)
    return ()


def _box_complaints(shape: Shape) -> tuple[Complaint, ...]:
    across = [x for x, _ in shape.points]
    down = [y for _, y in shape.points]
    extent = (min(across), min(down), max(across), max(down))
    if extent != (0, 0, shape.width, shape.height):
        return (("points", "The corners must reach the edges of the given width and height."),)
    return ()


def _corners(left: float, top: float, width: float, height: float) -> list[Point]:
    right, bottom = left + width, top + height
    return [(left, top), (right, top), (right, bottom), (left, bottom)]


def _edges(shape: Shape) -> list[tuple[Point, Point]]:
    return list(zip(shape.points, shape.points[1:] + shape.points[:1], strict=True))


def _head(shape: Shape) -> tuple[float, float, float]:
    """Rise, radius and half the angle at the centre of an arch's head."""
    rise = min(shape.rise or shape.width / 2, shape.width / 2, shape.height)
    if rise <= 0:
        return 0.0, 0.0, 0.0
    radius = (shape.width**2 / 4 + rise**2) / (2 * rise)
    return rise, radius, acos(max(-1.0, min(1.0, (radius - rise) / radius)))


def _arch_head(shape: Shape) -> list[Point]:
    """The curve from the left springing over the crown to the right one."""
    rise, radius, half_angle = _head(shape)
    start = -pi / 2 - half_angle
    curve = _arc((shape.width / 2, radius), radius, radius, start, start + 2 * half_angle)
    return [(0.0, rise), *curve[1:-1], (float(shape.width), rise)]


def _arc(centre: Point, across: float, down: float, start: float, end: float) -> list[Point]:
    count = 2 * max(40, round(STEPS * (end - start) / pi))
    turns = (start + (end - start) * step / count for step in range(count + 1))
    return [(centre[0] + across * cos(turn), centre[1] + down * sin(turn)) for turn in turns]


def _bezier_arc(
    centre: Point, across: float, down: float, start: float, end: float
) -> tuple[Move, ...]:
    """Cubic pieces of at most a quarter turn; handles of 4/3 tan(angle/4), strays under 0.03 %."""
    count = max(1, ceil((end - start) / (pi / 2) - 1e-9))
    turn = (end - start) / count
    handle = 4 / 3 * tan(turn / 4)
    pieces: list[Move] = []
    for step in range(count):
        a, b = start + step * turn, start + (step + 1) * turn
        points = (
            (cos(a) - handle * sin(a), sin(a) + handle * cos(a)),
            (cos(b) + handle * sin(b), sin(b) - handle * cos(b)),
            (cos(b), sin(b)),
        )
        numbers = (n for x, y in points for n in (centre[0] + across * x, centre[1] + down * y))
        pieces.append(("C", *numbers))
    return tuple(pieces)
