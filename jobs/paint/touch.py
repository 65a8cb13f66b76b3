"""What a finger that finds a coat touch-dry tells of its gate."""

from jobs.paint.binders import binder
from jobs.paint.gates import RECOAT, TOUCH_DRY

OPENS = "opens"
IN_TIME = "in time"
NOTHING = ""

_DRAGS = ("varnish", "sealer")


def finger_tells(gate: str, binder_key: str) -> str:
    """What a coat found touch-dry says of `gate`: OPENS, IN_TIME or NOTHING.

    A finger opens the touch-dry gate, and lets paint and ground be recoated. A varnish or a
    sealer dry to the touch still drags or lifts under the next coat (dry-to-recoat is a state
    of its own in ASTM D1640): there it shows only that the coat is in time, so that its usual
    wait suffices. Of the depth it tells nothing. What a finger is worth at each is common
    practice, no source. ValueError for an unknown binder.
    """
    if gate == TOUCH_DRY.key:
        return OPENS
    if gate == RECOAT.key:
        return IN_TIME if binder(binder_key).role in _DRAGS else OPENS
    return NOTHING
