"""A drawing as plain data, rendered as SVG by a template and as PDF by quotes.pdf.

Lengths are tenths of a millimetre, x to the right and y downwards from the top-left corner.
A role says what a mark stands for ("wood", "panel", "coat-done", ...); the style sheet and the
PDF decide how a role looks, so that paper and screen agree on meaning and differ in ink.
"""

from dataclasses import dataclass

Move = tuple[str, *tuple[float, ...]]
"""("M", x, y), ("L", x, y), ("C", x1, y1, x2, y2, x, y) or ("Z",)."""


@dataclass(frozen=True)
class Path:
    """One outline. `fill` is a hex colour, or "" for the role's own look."""

    moves: tuple[Move, ...]
    role: str
    fill: str = ""
    title: str = ""
    link: str = ""

    @property
    def d(self) -> str:
        """The outline as the value of an SVG path's `d`."""
        return " ".join(
            move[0] + " ".join(f"{number:.2f}".rstrip("0").rstrip(".") for number in move[1:])
            for move in self.moves
        )


@dataclass(frozen=True)
class Label:
    """A line of text at its anchor point. `anchor` is "start", "middle" or "end"."""

    x: float
    y: float
    text: str
    role: str
    anchor: str = "middle"


@dataclass(frozen=True)
class Drawing:
    """A picture of `width` x `height` tenths of a millimetre, marks in the order they are laid."""

    width: float
    height: float
    marks: tuple[Path | Label, ...]
    title: str = ""

    @property
    def paths(self) -> list[Path]:
        return [mark for mark in self.marks if isinstance(mark, Path)]

    @property
    def labels(self) -> list[Label]:
        return [mark for mark in self.marks if isinstance(mark, Label)]
