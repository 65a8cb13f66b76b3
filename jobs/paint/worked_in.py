"""What a stage may be worked with: a medium in the paint, or what the drawing is made with."""

from functools import cache

from jobs.paint.binders import Binder, binder
from jobs.paint.drying_tables import media
from jobs.paint.stack import DRAWN_WITH

_GLOSS = "gloss"


@cache
def worked_with() -> dict[str, tuple[str, tuple[str, ...]]]:
    """Name and families of binders by key: the media, gloss medium, and what draws a line."""
    choices = {key: (each.name, each.families) for key, each in media().items()}
    choices[_GLOSS] = ("gloss medium", ("water",))
    return choices | {key: (name, ("dry",)) for key, name in DRAWN_WITH.items()}


def why_unfit(key: str, paint: Binder) -> str:
    """Why something is not worked into that paint, in a sentence; "" where it may be."""
    if not key:
        return ""
    if key not in worked_with():
        return f"There is no medium '{key}'."
    name, families = worked_with()[key]
    if paint.family in families:
        return ""
    return f"{name[:1].upper()}{name[1:]} does not go into {paint.name}."


def drying_medium(key: str, binder_key: str) -> str:
    """The key that `drying` knows a medium by; "" for what changes no wait of that binder.

    Gloss medium and drawing tools change none, nor does a medium that does not fit the paint.
    ValueError for an unknown binder.
    """
    known = media().get(key)
    return key if known and binder(binder_key).family in known.families else ""
