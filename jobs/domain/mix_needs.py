"""How much of a mix the work still takes, in ml and in tubes of its parts."""

from collections.abc import Mapping
from dataclasses import dataclass
from decimal import Decimal

from jobs.domain.paint_taken import stage_millilitres
from jobs.models import Commission, Mix, Stage, Supply
from jobs.paint.film import LEAST_ML, squeezed
from jobs.paint.mixing import Amount, amounts
from studio.models import Studio


@dataclass(frozen=True)
class StageNeed:
    """What the remaining coats of one stage take; `ml` is 0 where nothing is left to paint.

    `supply` is None where the studio's materials do not hold the paint of the stage.
    """

    stage: Stage
    coats: int
    ml: Decimal
    supply: Supply | None
    shares: tuple[Amount, ...]

    @property
    def in_hand(self) -> bool:
        return self.stage.panel.commission.in_hand


@dataclass(frozen=True)
class PaintNeed:
    """What all agreed work takes of a mix in one kind of paint, with whole tubes of its parts.

    `told` is the sum of what its stages are told to take, which is rounded, so that they add up.
    """

    supply: Supply
    ml: Decimal
    told: Decimal
    shares: tuple[Amount, ...]


@dataclass(frozen=True)
class MixNeeds:
    """What each stage of a mix takes, and all stages in hand together, by kind of paint."""

    stages: tuple[StageNeed, ...]
    together: tuple[PaintNeed, ...]

    @property
    def to_paint(self) -> tuple[StageNeed, ...]:
        """Return the stages with coats left; agreed work first."""
        return tuple(sorted((row for row in self.stages if row.coats), key=_not_in_hand))

    @property
    def done(self) -> tuple[StageNeed, ...]:
        return tuple(row for row in self.stages if not row.coats)


def _not_in_hand(row: StageNeed) -> bool:
    return not row.in_hand


def mix_needs(mix: Mix) -> MixNeeds:
    """Return what the work takes of a mix; declined work takes none."""
    supplies = supplies_of(mix.studio)
    recipe = mix.recipe
    rows = [_stage_need(stage, supplies.get(stage.binder), recipe) for stage in stages_of(mix)]
    together: dict[str, list[Decimal]] = {}
    for row in rows:
        if row.in_hand and row.supply and row.ml:
            together.setdefault(row.supply.binder, []).append(row.ml)
    return MixNeeds(
        tuple(rows),
        tuple(_all_together(recipe, mls, supplies[binder]) for binder, mls in together.items()),
    )


def _all_together(recipe: Mapping[str, int], mls: list[Decimal], supply: Supply) -> PaintNeed:
    told = sum(squeezed(ml) if ml >= LEAST_ML else ml for ml in mls)
    return PaintNeed(supply, sum(mls), told, _shares(recipe, sum(mls), supply))


def supplies_of(studio: Studio) -> dict[str, Supply]:
    """Return what the studio buys, by binder."""
    return {row.binder: row for row in studio.supplies.all()}


def stages_of(mix: Mix) -> list[Stage]:
    """Return the stages painted with a mix, with all that names and measures them."""
    rows = Stage.objects.of(mix.studio).filter(mix=mix)
    rows = rows.exclude(panel__surface__piece__commission__state=Commission.State.DECLINED)
    rows = rows.select_related("panel__surface__piece__commission")
    rows = rows.prefetch_related("sittings")
    return list(rows.order_by("panel__surface__piece__commission__number", "panel", "position"))


def _stage_need(stage: Stage, supply: Supply | None, recipe: Mapping[str, int]) -> StageNeed:
    over = stage.panel.commission.state == Commission.State.DELIVERED
    coats = 0 if over else max(0, stage.coats - stage.coats_done)
    ml = stage_millilitres(stage, supply, coats=coats) if supply else Decimal(0)
    return StageNeed(stage, coats, ml, supply, _shares(recipe, ml, supply))


def _shares(recipe: Mapping[str, int], ml: Decimal, supply: Supply | None) -> tuple[Amount, ...]:
    """Return each tube colour's share; none where a recipe is no longer in the tables."""
    if supply is None or not ml:
        return ()
    try:
        return amounts(recipe, ml, tube_ml=supply.pack_ml)
    except ValueError:
        return ()
