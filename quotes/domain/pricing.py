"""The price of a commission as it stands: hours, materials, risk, tax, deposit."""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from decimal import Decimal

from jobs.domain.paint_taken import stage_covers, stage_millilitres
from jobs.domain.reckoning import reckon
from jobs.labour.methods import UNDECIDED_GROUND_EXTRA_COATS, labour_rules
from jobs.labour.stages import coat_words
from jobs.models import Commission, Panel, Stage
from jobs.models import Supply as Material
from quotes.engine.costing import Costing, Line, cost
from quotes.engine.terms import Extra, Override, Supply, Terms, Work
from quotes.models import ExtraLine
from studio.formats import show_number
from studio.models import Studio

EXTRA = "extra-"


@dataclass(frozen=True)
class PanelPrice:
    """One panel with its lines of work and their sum in minor units."""

    panel: Panel
    lines: tuple[Line, ...]
    minutes: int
    amount: int

    @property
    def prefix(self) -> str:
        """Return what each of its lines begins with, for lists under the panel's name."""
        return line_prefix(self.panel)


@dataclass(frozen=True)
class Pricing:
    """A commission priced. `obstacles` say what must be mended before it can be issued."""

    commission: Commission
    costing: Costing
    panels: tuple[PanelPrice, ...]
    extras: tuple[tuple[ExtraLine, Line], ...]
    obstacles: tuple[str, ...]

    @property
    def others(self) -> list[Line]:
        """Return the lines reckoned for the whole commission: materials and contingency."""
        return [line for line in self.costing.lines if line.kind in ("material", "contingency")]

    @property
    def work(self) -> int:
        """Return the price of all work on the panels, without lines of her own."""
        return sum(price.amount for price in self.panels)

    @property
    def minutes(self) -> int:
        """Return the hands-on minutes on the panels, without lines of her own."""
        return sum(price.minutes for price in self.panels)

    @property
    def stuff(self) -> int:
        return self.costing.of_kind("material")

    @property
    def contingency(self) -> list[Line]:
        return [line for line in self.costing.lines if line.kind == "contingency"]

    def line(self, key: str) -> Line | None:
        return next((line for line in self.costing.lines if line.key == key), None)


def price_commission(commission: Commission) -> Pricing:
    """Price a commission from its panels, the studio's terms and what was set by hand."""
    studio = commission.studio
    panels = commission_panels(commission)
    overrides = {
        row.key: Override(row.minutes, row.amount, row.reason) for row in commission.overrides.all()
    }
    work = [item for panel in panels for item in panel_work(panel)]
    own = list(commission.extras.all())
    work += [Work(extra_key(row), "", row.text, row.minutes) for row in own if row.minutes]
    extras = [Extra(extra_key(row), row.text, row.amount) for row in own if not row.minutes]
    bought = list(studio.supplies.all())
    supplies, terms = _supplies(panels, bought, studio), terms_of(studio)
    try:
        costing = cost(work, supplies, terms, overrides, extras)
    except ValueError as error:
        # A slip in a price or an hour: the engine's sentence names the line it shows in.
        nothing = cost((), (), terms, {})
        return Pricing(commission, nothing, panels=(), extras=(), obstacles=(str(error),))
    lines = {line.key: line for line in costing.lines}
    return Pricing(
        commission=commission,
        costing=costing,
        panels=tuple(_panel_price(panel, costing) for panel in panels),
        extras=tuple((row, lines[extra_key(row)]) for row in own),
        obstacles=(*_obstacles(commission, panels), *_unpriced(panels, bought, overrides)),
    )


def commission_panels(commission: Commission) -> list[Panel]:
    """Return the panels of a commission with all that pricing and drawing read."""
    rows = Panel.objects.of(commission.studio).for_bench()
    return list(rows.filter(surface__piece__commission=commission))


def extra_key(row: ExtraLine) -> str:
    """Return the key of a line of her own; it is changed itself and not set by hand."""
    return f"{EXTRA}{row.pk}"


def terms_of(studio: Studio) -> Terms:
    return Terms(studio.hourly_cost, studio.contingency, studio.tax_rate, studio.deposit)


def line_prefix(panel: Panel) -> str:
    return f"{panel.title}: "


def panel_work(panel: Panel) -> list[Work]:
    """Return the lines of work on a panel, with what an undecided ground may cost on top."""
    lines = []
    for stage in panel.stages.all():
        hours = reckon(stage)
        name = stage.name if stage.coats == 1 else f"{stage.name}, {coat_words(stage.coats)}"
        key = f"work-{panel.pk}-{stage.pk}"
        text = line_prefix(panel) + name
        lines.append(Work(key, str(panel.pk), text, hours.minutes, hours.words))
    if stage := risky_ground(panel):
        hours = reckon(stage, coats=UNDECIDED_GROUND_EXTRA_COATS)
        text = f"{line_prefix(panel)}Ground colour undecided, {kept_in_hand()}"
        key, why = f"ground-{panel.pk}", f"{hours.words}. {why_kept_in_hand()}"
        lines.append(Work(key, str(panel.pk), text, hours.minutes, why))
    return lines


def kept_in_hand() -> str:
    """Return in words how many coats the price holds while a ground is undecided."""
    return f"{coat_words(UNDECIDED_GROUND_EXTRA_COATS)} more kept in hand"


def why_kept_in_hand() -> str:
    """Return why they are kept, in a sentence, from the rules of labour."""
    return labour_rules()["undecided-ground-extra-coats"].text


def risky_ground(panel: Panel) -> Stage | None:
    """Return the stage that lays the ground where its colour is undecided."""
    if panel.ground_decided:
        return None
    return next((stage for stage in panel.stages.all() if stage.sort.places_ground), None)


def _supplies(panels: Iterable[Panel], rows: Iterable[Material], studio: Studio) -> list[Supply]:
    bought = {row.binder: row for row in rows}
    used: dict[str, list[_Use]] = {}
    for panel in panels:
        risky = risky_ground(panel)
        for stage in panel.stages.all():
            if row := bought.get(stage.binder):
                coats = stage.coats + (UNDECIDED_GROUND_EXTRA_COATS if stage == risky else 0)
                ml = stage_millilitres(stage, row, coats=coats)
                used.setdefault(stage.binder, []).append(
                    _Use(stage.film_um, stage_covers(stage) * coats, ml)
                )
    supplies = []
    for binder, uses in used.items():
        row = bought[binder]
        ml, why = sum((use.ml for use in uses), Decimal(0)), _why_so_much(uses, row, studio)
        supplies.append(
            Supply(material_key(binder), row.name, ml, row.pack_ml, row.price or 0, why)
        )
    return supplies


@dataclass(frozen=True)
class _Use:
    """What one stage takes of a paint: its typed film in microns or None, mm² of coats, ml."""

    film_um: int | None
    covered: float
    ml: Decimal


def _why_so_much(uses: Iterable[_Use], row: Material, studio: Studio) -> str:
    """Return the m² of coats with how thick they lie: by the usual rate, and by typed films."""
    by_film: dict[int | None, float] = {}
    for use in uses:
        by_film[use.film_um] = by_film.get(use.film_um, 0) + use.covered
    parts = []
    for film, covered in sorted(by_film.items(), key=lambda item: item[0] or 0):
        m2 = show_number(round(Decimal(str(covered)) / 1_000_000, 2), studio)
        rate = show_number(row.spread_rate, studio)
        how = f"in a wet film of {film} microns, as typed" if film else f"at {rate} m² a litre"
        parts.append(f"{m2} m² of coats {how}")
    return f"{', '.join(parts)}, {show_number(row.waste, studio)} % lost"


def material_key(binder: str) -> str:
    return f"material-{binder}"


def _unpriced(
    panels: Iterable[Panel], rows: Iterable[Material], overrides: Mapping[str, Override]
) -> Iterable[str]:
    used = {stage.binder for panel in panels for stage in panel.stages.all()}
    for row in rows:
        by_hand = overrides.get(material_key(row.binder))
        if row.binder in used and row.price is None and (not by_hand or by_hand.amount is None):
            yield (
                f"No price of a pack of ‘{row.name}’ in {row.studio.currency} is written down: "
                "type it in Materials."
            )


def _panel_price(panel: Panel, costing: Costing) -> PanelPrice:
    key = str(panel.pk)
    lines = tuple(line for line in costing.lines if line.panel == key)
    minutes = sum(line.minutes or 0 for line in lines)
    return PanelPrice(panel, lines, minutes, costing.of_panel(key))


def _obstacles(commission: Commission, panels: list[Panel]) -> Iterable[str]:
    if not panels:
        yield "There is no panel to price yet: add the piece, its surfaces and panels."
    for panel in panels:
        if not panel.stages.all():
            yield f"‘{panel.name}’ has no method yet, so no hours: choose its method sheet."
    if commission.state == Commission.State.DECLINED:
        yield "It is declined. Take it up again before you send a price."
    if not commission.studio.hourly_cost:
        yield "Your hourly cost is nothing. Say in Studio what an hour must earn."
