"""Laying out a panel by ratio, with straight edge and compasses.

The painter draws the diagonals; where they cross is the centre, and half a diagonal is the measure
that every circle is a part of. So one recipe (1/5, 1/2, ...) suits a panel of any size. Measures
are tenths of a millimetre.
"""

from collections.abc import Callable, Iterable
from dataclasses import dataclass
from fractions import Fraction
from math import hypot

from jobs.layout.drawing import Drawing, Label, Path, box, line
from jobs.layout.lettering import letters_width
from jobs.layout.shapes import Shape, ellipse, half_diagonal, moves

USUAL_RATIOS = (Fraction(1, 5), Fraction(1, 2))
"""A small and a large circle for an interlace on a square."""


@dataclass(frozen=True)
class Circle:
    """A circle about the centre: its part of the half-diagonal and its radius.

    `fits` says whether it stays within the panel's box.
    """

    ratio: Fraction
    radius: float
    fits: bool


@dataclass(frozen=True)
class Step:
    """One numbered step. `text` has a place {measure} where there is a measure to set."""

    number: int
    text: str
    measure: float | None = None

    def words(self, unit: Callable[[float], str]) -> str:
        """The step with its measure written by `unit` (tenths of a millimetre in, words out)."""
        return self.text if self.measure is None else self.text.format(measure=unit(self.measure))


def ratio_circles(width: int, height: int, ratios: Iterable[Fraction]) -> tuple[Circle, ...]:
    """Circles about the centre of a panel, smallest first.

    A ratio is the radius as a part of the half-diagonal, more than 0 and at most 1; a ratio beyond
    that raises ValueError. A 25 cm square gives 35.36 mm for 1/5 and 88.39 mm for 1/2.
    """
    half = half_diagonal(Shape("rectangle", width, height))
    circles = []
    for ratio in sorted(set(ratios)):
        if not 0 < ratio <= 1:
            raise ValueError(f"a circle of {ratio} of the half-diagonal lies off the panel")
        radius = half * float(ratio)
        circles.append(Circle(ratio, radius, 2 * radius <= min(width, height)))
    return tuple(circles)


def steps(width: int, height: int, ratios: Iterable[Fraction] = USUAL_RATIOS) -> tuple[Step, ...]:
    """The construction as numbered steps, each with the measure to set."""
    half = half_diagonal(Shape("rectangle", width, height))
    told: list[tuple[str, float | None]] = [
        (
            "Check that both diagonals measure {measure}: if they differ, it is not square.",
            hypot(width, height),
        ),
        ("Rule both diagonals lightly. Their crossing is the centre.", None),
        ("Check half a diagonal from the centre to a corner: {measure}.", half),
        ("Rule the upright halving line {measure} from the left edge.", width / 2),
        ("Rule the level halving line {measure} from the top edge.", height / 2),
    ]
    for circle in ratio_circles(width, height, ratios):
        text = f"Set the compasses to {{measure}} ({circle.ratio} of the half-diagonal)"
        text += " and strike a circle about the centre."
        if not circle.fits:
            text += " It runs past the edge: draw only what falls on the panel."
        told.append((text, circle.radius))
    return tuple(Step(place, text, measure) for place, (text, measure) in enumerate(told, 1))


def construction(
    shape: Shape,
    ratios: Iterable[Fraction] = USUAL_RATIOS,
    unit: Callable[[float], str] | None = None,
) -> Drawing:
    """The panel with its diagonals, halving lines and circles, true to scale.

    With `unit` each circle is lettered with its radius. There is a margin all round of a tenth of
    the longer side, more where a circle runs past the edge.
    """
    width, height = shape.width, shape.height
    circles = ratio_circles(width, height, ratios)
    reach = max((circle.radius for circle in circles), default=0)
    margin = max(max(width, height) / 10, reach - min(width, height) / 2 + max(width, height) / 25)
    left = top = margin
    right, bottom = left + width, top + height
    x, y = left + width / 2, top + height / 2
    marks: list[Path | Label] = [Path(moves(shape, left, top), "construction-edge")]
    if shape.kind not in ("rectangle", "frame"):
        marks.append(Path(box(left, top, width, height), "construction-line"))
    for ends in (
        ((left, top), (right, bottom)),
        ((right, top), (left, bottom)),
        ((x, top), (x, bottom)),
        ((left, y), (right, y)),
    ):
        marks.append(Path(line(*ends), "construction-line"))
    size = max(width, height) / 24
    lettering: list[Path | Label] = []
    for place, circle in enumerate(reversed(circles)):
        role = "construction-circle" if circle.fits else "construction-circle-over"
        marks.append(Path(ellipse(x, y, circle.radius, circle.radius), role))
        if unit:
            text = f"{circle.ratio} · {unit(circle.radius)}"
            end = y + (circle.radius + size * 0.75) * (-1 if place % 2 == 0 else 1)
            half = letters_width(text, size) / 2 + size * 0.2
            lettering.append(
                Path(box(x - half, end - size * 0.6, 2 * half, size * 1.2), "label-plate")
            )
            lettering.append(Label(x, end + size * 0.35, text, "label", size=size))
    marks += lettering
    marks.append(Path(ellipse(x, y, size / 6, size / 6), "construction-point"))
    title = "Lay-out of the panel: diagonals, halving lines and "
    title += f"{len(circles)} {'circle' if len(circles) == 1 else 'circles'} about the centre"
    return Drawing(width + 2 * margin, height + 2 * margin, tuple(marks), title, "construction")
