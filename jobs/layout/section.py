"""A panel as a paint cross-section: the piece as it came in, and on it each coat as a band.

Thicknesses are not to scale: a real coat would be a hair. Sizes are in the drawing's own units.
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from itertools import groupby

from jobs.layout.drawing import Drawing, Label, Move, Path
from jobs.layout.hatch import Wave, band_area, between, chance, grain, hatching
from jobs.layout.lettering import is_dark, letters_width, wrap

STATE_WORDS: Mapping[str, str] = {
    "done": "done",
    "drying": "drying",
    "wet": "wet",
    "working": "under the brush",
    "planned": "planned",
}
"""States of a coat. "wet" is drawn as "drying" is, and named for what it is."""

DEPTHS = {"gesso": 0.9, "ground": 0.8, "paint": 1.0, "glaze": 0.65, "varnish": 0.6}
OWN_COLOURS = {
    "gesso": "#f7f3ea",
    "ground": "#cdbb98",
    "paint": "#9a8468",
    "glaze": "#cf9f52",
    "varnish": "#ecdcae",
}


@dataclass(frozen=True)
class Coat:
    """One coat, lowest first in a list.

    name: what she calls it. state: a key of STATE_WORDS. colour: hex, or "" when unknown.
    role: "gesso", "ground", "paint", "glaze" or "varnish"; it gives the band its depth, and its
    colour where none is known.
    """

    name: str
    state: str
    colour: str = ""
    role: str = "paint"


@dataclass(frozen=True)
class Size:
    """How large a cross-section is drawn; `label` is the size of its letters, 0 for none."""

    width: float
    height: float
    paint: float
    wood: float
    label: float
    swing: float
    hatch: float


SMALL = Size(width=64, height=72, paint=64, wood=14, label=0, swing=0.7, hatch=3.2)


def cross_section(
    coats: Sequence[Coat],
    *,
    large: bool = False,
    words: Mapping[str, str] = STATE_WORDS,
    wood: str = "bare wood",
) -> Drawing:
    """Coats on the wood: filled when done, hatched while drying, dashed while planned.

    A coat under the brush is filled as far as a brush has come, the rest of it dashed. The small
    picture (64 x 72 units) has no letters; the large one (372 units wide, as high as it needs)
    names each coat and its state. `words` carry the language of the page, `wood` says what
    lies under the coats.
    """
    size = _large(len(coats)) if large else SMALL
    edges = _edges(coats, size)
    marks: list[Path | Label] = _wood(size, edges[0])
    for place, coat in enumerate(coats):
        marks += _band(coat, edges[place + 1], edges[place], size)
    if size.label:
        marks += _names(coats, edges, size, words, wood)
    kind = "section" if large else "section-small"
    return Drawing(size.width, size.height, tuple(marks), _told(coats, words, wood), kind)


def _large(count: int) -> Size:
    height = 76 + max(count, 1) * 27
    return Size(width=372, height=height, paint=104, wood=48, label=14, swing=1.6, hatch=5.5)


def _edges(coats: Sequence[Coat], size: Size) -> list[Wave]:
    """Upper edge of the wood, then of each coat."""
    room = size.height - size.wood - (14 if size.label else 5)
    depths = [DEPTHS.get(coat.role, 1.0) for coat in coats]
    if size.label:
        depths = [0.55 + depth / 2 for depth in depths]
    unit = min(room / max(sum(depths), 1), 27 if size.label else 9.5)
    level = size.height - size.wood
    swing = min(size.swing, unit * 0.09)
    edges = [Wave(level, size.paint, swing, "wood")]
    for place, depth in enumerate(depths):
        level -= depth * unit
        edges.append(Wave(level, size.paint, swing, f"coat {place % 7}"))
    return edges


def _wood(size: Size, edge: Wave) -> list[Path | Label]:
    floor = Wave(size.height, size.paint, 0, "floor")
    top = edge.level + size.wood * 0.12
    figure = grain(0, top, size.paint, size.height - top, "heart", 5 if size.label else 3)
    return [Path(between(edge, floor, 0, size.paint), "wood"), Path(figure, "grain")]


def _band(coat: Coat, upper: Wave, lower: Wave, size: Size) -> list[Path | Label]:
    fill = coat.colour or OWN_COLOURS.get(coat.role, OWN_COLOURS["paint"])
    if coat.state == "done":
        return [Path(between(upper, lower, 0, size.paint), "coat-done", fill, coat.name)]
    if coat.state in ("drying", "wet"):
        strokes = hatching(band_area(upper, lower, 0, size.paint), size.hatch)
        return [
            Path(between(upper, lower, 0, size.paint), "coat-drying", fill, coat.name),
            Path(strokes, "hatch-drying-light" if is_dark(fill) else "hatch-drying"),
        ]
    inset = size.paint * 0.012
    dashed = Path(_open(upper, lower, inset, size.paint - inset), "coat-planned", "", coat.name)
    if coat.state != "working":
        return [dashed]
    laid = _laid(upper, lower, inset, size.paint * 0.62)
    return [dashed, Path(laid, "coat-working", fill, coat.name)]


def _open(upper: Wave, lower: Wave, left: float, right: float) -> tuple[Move, ...]:
    """The band's sides and upper edge: below it there is always a drawn edge already."""
    return (
        ("M", left, lower.at(left)),
        ("L", left, upper.at(left)),
        *upper.curve(left, right),
        ("L", right, lower.at(right)),
    )


def _laid(upper: Wave, lower: Wave, left: float, end: float) -> tuple[Move, ...]:
    """As far as the brush has come: the band with the ragged end of a stroke."""
    top, bottom = upper.at(end), lower.at(end)
    bristles = 4
    step = (bottom - top) / bristles
    ragged: list[Move] = []
    for place in range(bristles):
        reach = end + step * (0.9 + 1.6 * chance("bristle", place))
        y = top + place * step
        ragged.append(("C", reach, y, reach, y + step, end, y + step))
    return (
        ("M", left, upper.at(left)),
        *upper.curve(left, end),
        *ragged,
        *lower.curve(end, left),
        ("Z",),
    )


def _names(
    coats: Sequence[Coat], edges: list[Wave], size: Size, words: Mapping[str, str], wood: str
) -> list[Path | Label]:
    """The name of each coat beside its band, its state at the right edge."""
    start = size.paint + 24
    lines = [(wood, "", size.height - size.wood / 2)]
    for place, coat in enumerate(coats):
        middle = (edges[place].level + edges[place + 1].level) / 2
        lines.append((coat.name, words.get(coat.state, coat.state), middle))
    marks: list[Path | Label] = []
    for name, state, middle in lines:
        leader: tuple[Move, ...] = (("M", size.paint + 3, middle), ("L", start - 6, middle))
        marks.append(Path(leader, "leader"))
        base = middle + size.label * 0.34
        room = size.width - start - letters_width(state, size.label * 0.9) - size.label * 0.5
        marks += _name(name, start, middle, room, size.label)
        if state:
            marks.append(Label(size.width - 2, base, state, "note", "end", size.label * 0.9))
    return marks


def _name(name: str, start: float, middle: float, room: float, size: float) -> list[Label]:
    """The name on one line, or on two smaller ones where it is long."""
    lines: tuple[str, ...] = (name,)
    if letters_width(name, size) > room:
        size *= 0.86
        lines = wrap(name, room, size)
    base = middle + size * (0.34 - 0.54 * (len(lines) - 1))
    return [
        Label(start, base + place * size * 1.08, text, "label", "start", size)
        for place, text in enumerate(lines)
    ]


def _told(coats: Sequence[Coat], words: Mapping[str, str], wood: str) -> str:
    """The picture in words, coats that are alike counted together."""
    told = [wood]
    for (name, state), alike in groupby(coats, key=lambda coat: (coat.name, coat.state)):
        count = len(list(alike))
        times = f" ×{count}" if count > 1 else ""
        told.append(f"{name}{times} {words.get(state, state)}")
    return ", ".join(told)
