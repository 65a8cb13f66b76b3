"""Ground colours: what a panel's ground may become, and what lies in its place now."""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from itertools import islice

from django.db.models import Max, Prefetch

from jobs.domain.own_values import own_values
from jobs.models import Mix, Panel, Stage
from jobs.paint.binders import binder
from jobs.paint.mixing import predict
from jobs.paint.opacity import Scattering, opacity_classes, scattering, unnamed_ground
from jobs.paint.pigments import pigment, pigments
from studio.models import Studio

MOST_COLOURS = 12
NO_GROUND, FADING = "lead-white", ("III", "IV", "V")
"""The hazard and the classes of lightfastness (ASTM D4302) of what nobody lays a ground in."""
WHITE = pigment("PW6").masstone
"""White gesso and oil ground: titanium white as the table of pigments has it."""


@dataclass(frozen=True)
class GroundColour:
    """A colour for a ground: #rrggbb, how it scatters, and how it covers in words.

    `mix` is its recipe, where it has one, and `tried` says that she only asked about it.
    """

    name: str
    colour: str
    power: Scattering
    covers: str
    mix: Mix | None = None
    tried: bool = False


@dataclass(frozen=True)
class Bed:
    """What the ground colour is laid on, as far as the log tells.

    `colour` is #rrggbb, "" where nobody knows it. `laid` are the coats of ground that lie
    already, `left` those the method still lays. `drawn` names the drawing that a new ground
    would cover, `beyond` the paint over the ground, "" for none.
    """

    name: str
    colour: str
    laid: int
    left: int
    drawn: str = ""
    beyond: str = ""


def ground_stage(panel: Panel) -> Stage | None:
    """Return the stage that lays the panel's ground colour, if its method has one."""
    return next((stage for stage in panel.stages.all() if stage.sort.places_ground), None)


def plain_ground(name: str, colour: str, *, opacity: str = "") -> GroundColour:
    """Return a colour without a recipe. ValueError for an opacity class that is none."""
    usual = unnamed_ground()
    if not opacity:
        return GroundColour(name, colour, usual.scattering, f"taken as {usual.name}")
    power = scattering(opacity)
    return GroundColour(name, colour, power, opacity_classes()[opacity].name, tried=True)


def mixed_ground(mix: Mix, opacities: Mapping[str, str] | None = None) -> GroundColour | None:
    """Return a mix as a ground: its own colour or the reckoned one; None where it has neither.

    `opacities` are the studio's own opacity classes by pigment, where it is asked how it covers.
    """
    parts = {part.pigment: part.parts for part in mix.parts.all()}
    try:
        reckoned = predict(parts, opacities)
    except ValueError:
        if not mix.colour:
            return None
        usual = unnamed_ground()
        return GroundColour(mix.name, mix.colour, usual.scattering, f"taken as {usual.name}", mix)
    colour = mix.colour or reckoned.swatch
    return GroundColour(mix.name, colour, reckoned.scattering, "by its recipe", mix)


def ground_colours(panel: Panel) -> tuple[GroundColour, ...]:
    """Return the colours that the studio has grounds and fitting mixes of, this panel's own first.

    At most `MOST_COLOURS`, in three fetches beside the mixes' parts and stages, however many
    there are.
    """
    found: dict[tuple[str, str], GroundColour] = {}
    stage, own = ground_stage(panel), own_values(panel.owner).opacities
    first = [mixed_ground(stage.mix, own)] if stage and stage.mix else []
    if not first and panel.ground_decided and panel.ground_colour:
        first = [plain_ground(panel.ground_name, panel.ground_colour)]
    plain = [plain_ground(*pair) for pair in _grounds(panel.owner)]
    family = binder(stage.binder).family if stage else ""
    mixed = [mixed_ground(mix, own) for mix in islice(_mixes(panel.owner, family), MOST_COLOURS)]
    for each in (*first, *plain, *mixed):
        if each is not None:
            found.setdefault((each.name, each.colour), each)
    return tuple(found.values())[:MOST_COLOURS]


def is_ground_of(panel: Panel, ground: GroundColour) -> bool:
    """Return whether a panel's ground is decided to be that one: by its recipe, else its look."""
    stage = ground_stage(panel)
    if stage and stage.mix:
        return ground.mix == stage.mix
    return (ground.name, ground.colour) == (panel.ground_name, panel.ground_colour)


def bed_of(panel: Panel) -> Bed | None:
    """Return what the panel's ground colour is laid on; None where the method lays none.

    The last finished film counts; before the first, the primer that the method lays. Reads
    stages with sittings and mixes: prefetch them.
    """
    stages = list(panel.stages.all())
    ground = ground_stage(panel)
    if ground is None:
        return None
    place = stages.index(ground)
    under, above = stages[:place], stages[place + 1 :]
    done, left = ground.coats_done, max(0, ground.coats - ground.coats_done)
    over = [stage for stage in above if stage.sort.is_coat and stage.sittings.all()]
    lines = [stage for stage in above if not stage.sort.is_coat and stage.sittings.all()]
    told = {
        "laid": done,
        "left": left,
        "drawn": lines[0].name if lines else "",
        "beyond": over[-1].name if over else "",
    }
    if done:
        name, colour = _look(ground)
        return Bed(name, colour, **told)
    films = [stage for stage in under if stage.mix or _covers(stage)]
    finished = [stage for stage in films if stage.coats_done]
    last = max(
        finished, key=lambda stage: stage.coat_ends[-1], default=films[-1] if films else None
    )
    name, colour = _look(last) if last else ("", "")
    return Bed(name, colour, **told)


def _covers(stage: Stage) -> bool:
    return stage.sort.is_coat and binder(stage.binder).role in ("ground", "paint")


def _look(stage: Stage) -> tuple[str, str]:
    """Return name and colour of a film; the colour is "" where nobody said it."""
    made = mixed_ground(stage.mix) if stage.mix else None
    if made:
        return made.name, made.colour
    if stage.sort.places_ground:
        return stage.panel.ground_name or stage.name, stage.panel.ground_colour
    paint = binder(stage.binder)
    return (f"white {paint.name}", WHITE) if paint.role == "ground" else (stage.name, "")


def _grounds(studio: Studio) -> list[tuple[str, str]]:
    """Return the distinct grounds of the studio's panels, the latest used first."""
    panels = Panel.objects.of(studio).exclude(ground_name="").exclude(ground_colour="")
    pairs = panels.values("ground_name", "ground_colour").annotate(latest=Max("pk"))
    latest = pairs.order_by("-latest")[:MOST_COLOURS]
    return [(row["ground_name"], row["ground_colour"]) for row in latest]


def _mixes(studio: Studio, family: str) -> Iterator[Mix]:
    """Give the mixes that a ground bound in that family of paints may be laid in."""
    used = Prefetch("stages", Stage.objects.only("kind", "binder", "mix_id"))
    for mix in studio.mixes.prefetch_related("parts", used):
        if _fits_ground(mix, family):
            yield mix


def _fits_ground(mix: Mix, family: str) -> bool:
    """Return whether it was a ground of that family, or may be: by its binders and pigments.

    A mix that is painted nowhere yet has no binder, and fits by its pigments alone.
    """
    stages = list(mix.stages.all())
    fitting = [stage for stage in stages if binder(stage.binder).family == family]
    if any(stage.sort.places_ground for stage in fitting):
        return True
    held = [pigments()[part.pigment] for part in mix.parts.all() if part.pigment in pigments()]
    unfit = any(each.hazard == NO_GROUND or each.lightfast in FADING for each in held)
    return not unfit and bool(fitting or not stages)
