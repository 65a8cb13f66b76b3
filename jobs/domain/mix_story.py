"""All that is known of one mix, put together for its page."""

from collections.abc import Collection, Mapping
from dataclasses import dataclass
from decimal import Decimal

from jobs.domain.cautions import mix_cautions
from jobs.domain.mix_needs import MixNeeds, mix_needs
from jobs.domain.mixes import (
    WAYS,
    family_of,
    reckoned_siblings,
    sibling_name,
)
from jobs.domain.own_values import own_values
from jobs.models import Mix
from jobs.paint.cautions import Caution
from jobs.paint.colour import bands, difference, lab
from jobs.paint.drying import governing_class
from jobs.paint.mixing import FILE, Prediction, Sibling, difference_words, predict, spoken
from jobs.paint.opacity import opacity_like
from jobs.paint.pigments import LIGHTFAST_WORDS, DryingClass, Pigment, pigment, pigments
from jobs.paint.values import Value, values

_TENTH = Decimal("0.1")


@dataclass(frozen=True)
class Share:
    """One tube colour of a recipe; `pigment` is None where the tables no longer hold it."""

    key: str
    parts: int
    percent: Decimal
    pigment: Pigment | None


@dataclass(frozen=True)
class Look:
    """How a mix looks: `own` as she saw it ("" where she has not), and as reckoned.

    `unsure` and `apart` are ΔE00 with their words: what to expect of the reckoning, and how far
    hers is from it.
    """

    own: str
    reckoned: str = ""
    unsure: float = 0
    unsure_words: str = ""
    apart: float | None = None
    apart_words: str = ""


@dataclass(frozen=True)
class Traits:
    """What a mix has of its parts: who fades first, who holds up the drying, how it covers."""

    parts: tuple[Pigment, ...]
    lightfast: str
    lightfast_words: str
    fades: tuple[Pigment, ...]
    lightfast_unknown: tuple[Pigment, ...]
    drying: DryingClass
    governs: tuple[Pigment, ...]
    opacity: str
    opacity_range: tuple[str, str]

    @property
    def all_alike(self) -> bool:
        """Return whether all its parts last alike in light, as far as is known of each."""
        return not self.lightfast_unknown and len({part.lightfast for part in self.parts}) == 1


@dataclass(frozen=True)
class Kin:
    """A sibling one step `way`, as reckoned; `kept` is the mix it is kept as, if it is.

    `shares` are its parts as said: 0 is a touch; `touch` is how many parts of all the others
    there are to one of that, 0 where there is none.
    """

    way: str
    name: str
    shares: tuple[tuple[Pigment, int], ...]
    added: Pigment
    touch: int
    prediction: Prediction
    kept: Mix | None


@dataclass(frozen=True)
class MixStory:
    """What the page of a mix shows. `traits` is None where a pigment is not in the tables."""

    shares: tuple[Share, ...]
    unknown: tuple[str, ...]
    look: Look
    traits: Traits | None
    cautions: tuple[Caution, ...]
    family: tuple[Mix, ...]
    kin: tuple[Kin, ...]
    no_further: tuple[str, ...]
    needs: MixNeeds
    counted_with: tuple[Value, ...]


def mix_story(mix: Mix) -> MixStory:
    """Put the story of a mix together."""
    recipe = mix.recipe
    unknown = tuple(key for key in recipe if key not in pigments())
    own = own_values(mix.studio)
    found = predict(recipe, own.opacities) if recipe and not unknown else None
    members = family_of(mix)
    kin = _kin(mix, members)
    return MixStory(
        shares=_shares(recipe),
        unknown=unknown,
        look=_look(mix, found),
        traits=_traits(recipe, found, own.classes) if found else None,
        cautions=mix_cautions(mix),
        family=tuple(members) if len(members) > 1 else (),
        kin=kin,
        no_further=tuple(way for way in WAYS if found and way not in {one.way for one in kin}),
        needs=mix_needs(mix),
        counted_with=(*values(FILE).values(), values("hiding.toml")["visible"]),
    )


def _shares(recipe: Mapping[str, float]) -> tuple[Share, ...]:
    whole = sum(Decimal(str(parts)) for parts in recipe.values())
    return tuple(
        Share(
            key,
            round(parts),
            (Decimal(str(parts)) * 100 / whole).quantize(_TENTH),
            pigments().get(key),
        )
        for key, parts in recipe.items()
    )


def _look(mix: Mix, found: Prediction | None) -> Look:
    if found is None:
        return Look(mix.colour)
    apart = difference(bands(mix.colour), found.reflectance) if mix.colour else None
    return Look(
        own=mix.colour,
        reckoned=found.swatch,
        unsure=found.uncertainty,
        unsure_words=difference_words(found.uncertainty),
        apart=apart,
        apart_words="" if apart is None else difference_words(apart),
    )


def _traits(recipe: Mapping[str, int], found: Prediction, own: Mapping[str, str]) -> Traits:
    governing = governing_class(recipe, own)
    classes = {key: governing_class({key: 1}, own) for key in recipe}
    same = [key for key, each in classes.items() if each == governing]
    # Several small shares of something slower can govern together, none of them alone.
    slow = same or [key for key, each in classes.items() if each.surface >= governing.surface]
    reach = opacity_like(found.scattering.low).name, opacity_like(found.scattering.high).name
    return Traits(
        parts=tuple(map(pigment, recipe)),
        lightfast=found.lightfast,
        lightfast_words=LIGHTFAST_WORDS.get(found.lightfast, ""),
        fades=tuple(map(pigment, found.fades)),
        lightfast_unknown=tuple(map(pigment, found.lightfast_unknown)),
        drying=governing,
        governs=tuple(pigment(key) for key in slow),
        opacity=opacity_like(found.scattering.likely).name,
        opacity_range=reach,
    )


def _kin(mix: Mix, members: Collection[Mix]) -> tuple[Kin, ...]:
    return tuple(
        Kin(
            way=way,
            name=sibling_name(mix, way=way),
            shares=tuple((pigment(key), n) for key, n in spoken(sibling.parts).items()),
            added=pigment(sibling.added),
            touch=_touch(sibling),
            prediction=sibling.prediction,
            kept=_kept(sibling, sibling_name(mix, way=way), [one for one in members if one != mix]),
        )
        for way, sibling in reckoned_siblings(mix).items()
    )


def _touch(sibling: Sibling) -> int:
    """Return how many parts of the rest there are to one of what was added, 0 if not a touch."""
    if spoken(sibling.parts)[sibling.added]:
        return 0
    added = sibling.parts[sibling.added]
    return round((sum(sibling.parts.values()) - added) / added)


def _kept(sibling: Sibling, name: str, others: Collection[Mix]) -> Mix | None:
    """Return the mix that a sibling is kept as: by its name, or as one about as light."""
    near = values(FILE)["sibling-step"].value / 2
    lightness = lab(sibling.prediction.reflectance)[0]
    for one in others:
        alike = one.swatch and abs(lab(bands(one.swatch))[0] - lightness) < near
        if one.name == name or alike:
            return one
    return None
