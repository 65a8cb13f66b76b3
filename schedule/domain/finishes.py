"""By when each commission is ready: by the programme, likely, and surely.

The likelihoods are played through by the worker and when the long search has ended, and till then
when a page asks; never at a tap.
"""

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date, datetime

from schedule.domain.scratch import as_it_stands, foretell
from schedule.engine.promise.outlook import Outlook
from schedule.models import PlannedFinish, Programme
from studio.models import Studio


@dataclass(frozen=True)
class Likelihood:
    """The studio's local days by which a commission is ready in 50 and in 95 of 100 cases.

    None where it cannot all be planned, or takes longer than working hours are known.
    """

    likely: date | None
    surely: date | None


@dataclass(frozen=True)
class FinishRow:
    """When a commission is ready by the programme; `likelihood` is None till it is reckoned."""

    finish: PlannedFinish
    likelihood: Likelihood | None


def known_likelihoods(programme: Programme) -> dict[int, Likelihood] | None:
    """Return the likelihoods by a commission's key if they are of this very plan, else None."""
    if programme.foretold.get("of") != programme.made_at.isoformat():
        return None
    return {
        int(key): Likelihood(*(date.fromisoformat(day) if day else None for day in days))
        for key, days in programme.foretold["days"].items()
    }


def likelihoods(programme: Programme) -> dict[int, Likelihood]:
    """Return the likelihoods by a commission's key, reckoned where they are not known yet.

    They are foretold as a trial of the work is: what is asked of the programme starts from them.
    """
    known = known_likelihoods(programme)
    if known is not None:
        return known
    studio = programme.studio
    foretold = foretell(as_it_stands(studio, now=programme.made_at))
    return {key: _likelihood(outlook, studio) for key, outlook in foretold.outlooks.items()}


def keep_likelihoods(programme: Programme) -> None:
    """Have the likelihoods of a plan known, unless they are or the plan is another by now."""
    if known_likelihoods(programme) is not None:
        return
    days = {
        key: [day and day.isoformat() for day in (one.likely, one.surely)]
        for key, one in likelihoods(programme).items()
    }
    same = Programme.objects.filter(pk=programme.pk, made_at=programme.made_at)
    same.update(foretold={"of": programme.made_at.isoformat(), "days": days})


def finish_rows(studio: Studio, days: Mapping[int, Likelihood] | None) -> list[FinishRow]:
    """Return the finishes of the programme with likelihoods, where these are known."""
    finishes = PlannedFinish.objects.of(studio).select_related("commission__client")
    return [FinishRow(row, days.get(row.commission_id) if days else None) for row in finishes]


def _likelihood(outlook: Outlook, studio: Studio) -> Likelihood:
    def day(moment: datetime | None) -> date | None:
        return moment.astimezone(studio.zone).date() if moment else None

    return Likelihood(day(outlook.likely), day(outlook.surely))
