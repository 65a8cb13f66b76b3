"""What is reckoned of a plan once it stands, to tell more of it: never at a tap, and never in the
way of anything that she needs."""

import logging

from schedule.domain.comparison import keep_comparison
from schedule.domain.finishes import keep_likelihoods
from schedule.models import Programme

log = logging.getLogger(__name__)


def reckon_what_tells_more(programme: Programme) -> None:
    """Have known what a plan is set against, and how likely its days are.

    What breaks is not known then; the log says why, and no more comes of it.
    """
    for keep in (keep_comparison, keep_likelihoods):
        try:
            keep(programme)
        except Exception:
            log.exception("%s of studio %s broke", keep.__name__, programme.studio.slug)
