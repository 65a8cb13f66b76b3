"""A drawing as plain data, rendered as SVG by a template and as PDF by quotes.pdf.

Lengths are tenths of a millimetre, x to the right and y downwards from the top-left corner.
A role says what a mark stands for ("board", "panel", "coat-done", ...); the style sheet and the
PDF decide how a role looks, so that paper and screen agree on meaning and differ in ink.
"""

from dataclasses import dataclass

Move = tuple[str, *tuple[float, ...]]
"""("M", x, y), ("L", x, y), ("C", x1, y1, x2, y2, x, y) or ("Z",)."""

ROLES: dict[str, str] = {
    # the piece in elevation
    "carcass": "filled outline: the face behind its surfaces",
    "board": "filled outline: a surface that is fixed to the piece",
    "board-removable": "filled outline: a surface that lifts off",
    "board-edge": "line just inside the edge of a surface that lifts off",
    "grain": "line: the figure of the wood",
    "panel": "filled outline in the colour of its ground",
    "panel-undecided": "outline of a panel whose ground is not settled",
    "panel-plate": "filled outline: a light ground for words in hatching",
    "hatch-undecided": "hatching of a panel whose ground is not settled",
    "key": "filled outline: the disc a panel's letter stands in, nothing known of its state",
    "key-planned": "the same, nothing begun",
    "key-working": "the same, work under way and nothing wet; filled in ink",
    "key-drying": "the same, a coat drying; rays stand round it",
    "key-done": "the same, finished; a tick stands beside it",
    "key-halo": "filled disc under the rays, to set them off from any ground",
    "key-rays": "lines round the disc of a drying panel",
    "key-tick-halo": "the same line, broad and light, under the tick",
    "key-tick": "line: the tick of a finished panel",
    "key-leader": "line from a disc to a panel too small to hold it",
    # the coats in cross-section
    "wood": "filled outline: the bare wood under the coats",
    "coat-done": "filled outline in the colour of the coat",
    "coat-drying": "filled outline in the colour of the coat; hatching lies on it",
    "coat-working": "filled outline in the colour of the coat, as far as it is laid",
    "coat-planned": "dashed outline of a coat still to come",
    "hatch-drying": "hatching of a coat that is drying",
    "hatch-drying-light": "the same on a dark coat",
    "leader": "line from a band to its name",
    # laying out
    "construction-edge": "outline of the panel",
    "construction-line": "line: diagonals and halving lines",
    "construction-circle": "circle struck from the centre",
    "construction-circle-over": "circle that runs past the edge of the panel",
    "label-plate": "filled outline in the colour of the paper, under a label on a line",
    "construction-point": "filled dot where the point of the compasses stands",
    # what touch tests taught
    "curve-axis": "line: the axis of a curve and its marks",
    "curve-middle": "faint line where nothing differs from the table",
    "curve-before": "dashed line: what was held before any test",
    "curve-after": "line: what is held after the tests",
    "curve-seen": "line with a stroke at each end: between which times a coat became dry",
    # a promise
    "curve": "line: how likely it is to be ready by each day",
    "curve-level": "line across at a likelihood",
    "curve-day": "filled dot where the curve reaches a likelihood",
    "curve-wanted": "dashed upright at the day asked for",
    # the scale
    "scale-bar": "outline of the scale bar",
    "scale-bar-fill": "filled half of the scale bar",
    # lettering
    "caption": "name of a face",
    "note": "quiet words beside or below the drawing",
    "label": "name of a thing in the drawing",
    "board-name": "name of a surface, lettered on its wood",
    "panel-name-dark": "name in a panel, dark letters on a light ground",
    "panel-name-light": "name in a panel, light letters on a dark ground",
    "panel-word": "'ground undecided', written into the hatching",
    "key-letter": "letter in a light disc",
    "key-letter-light": "letter in a dark disc",
    "scale-label": "length of the scale bar",
}
"""Every role in use and what it stands for. A filled outline takes the path's own `fill`."""


def number(value: float) -> str:
    """`value` with at most two decimals and a full stop, whatever the language of the page."""
    text = f"{value:.2f}".rstrip("0").rstrip(".")
    return "0" if text == "-0" else text


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
            move[0] + " ".join(number(value) for value in move[1:]) for move in self.moves
        )


@dataclass(frozen=True)
class Label:
    """A line of text at its anchor point, which lies on the baseline.

    `anchor` is "start", "middle" or "end"; `size` is the height of the letters' em in the
    drawing's units, 0 for the medium's own size.
    """

    x: float
    y: float
    text: str
    role: str
    anchor: str = "middle"
    size: float = 0

    @property
    def across(self) -> str:
        """x as text."""
        return number(self.x)

    @property
    def down(self) -> str:
        """y as text."""
        return number(self.y)

    @property
    def em(self) -> str:
        """The size as text, "" for the medium's own."""
        return number(self.size) if self.size else ""


@dataclass(frozen=True)
class Drawing:
    """A picture of `width` x `height` tenths of a millimetre, marks in the order they are laid.

    `kind` tells the page how large to show it: "elevation", "section", "section-small",
    "construction", "curve" or "" for nothing special. `title` is a sentence for someone who
    cannot see it.
    """

    width: float
    height: float
    marks: tuple[Path | Label, ...]
    title: str = ""
    kind: str = ""

    @property
    def paths(self) -> list[Path]:
        """The outlines, in the order they are laid."""
        return [mark for mark in self.marks if isinstance(mark, Path)]

    @property
    def labels(self) -> list[Label]:
        """The lettering, in the order it is laid."""
        return [mark for mark in self.marks if isinstance(mark, Label)]

    @property
    def view_box(self) -> str:
        """The value of an SVG element's `viewBox`."""
        return f"0 0 {number(self.width)} {number(self.height)}"

    @property
    def has_links(self) -> bool:
        """Whether a tap on some part of it leads elsewhere."""
        return any(path.link for path in self.paths)


def line(*points: tuple[float, float]) -> tuple[Move, ...]:
    """Moves of an open line through `points`."""
    first, *others = points
    return (("M", *first), *(("L", *point) for point in others))


def box(left: float, top: float, width: float, height: float) -> tuple[Move, ...]:
    """Moves of a closed rectangle."""
    right, bottom = left + width, top + height
    return (*line((left, top), (right, top), (right, bottom), (left, bottom)), ("Z",))
