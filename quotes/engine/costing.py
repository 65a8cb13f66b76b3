"""From hours, materials and extras to a price, exact to the minor unit.

The rounding rule: every line is rounded by itself to whole minor units, and the net is the exact
sum of the rounded lines, so that whoever adds up the printed lines arrives at the printed net.
Contingency is a line, worked on the sum of all other lines as charged: work, materials and extras.
Tax is rounded once, on the net; the deposit once, on the total. A tie goes up (away from zero).
Common practice, no source; the rule itself is named in `quotes.engine.money`.
"""

from collections import Counter
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from decimal import Decimal
from fractions import Fraction
from typing import Literal

from jobs.paint.film import packs
from quotes.engine.money import Exact, half_up
from quotes.engine.terms import CONTINGENCY_KEY, Extra, Override, Supply, Terms, Work

Kind = Literal["work", "material", "extra", "contingency"]

LARGEST_LINE = 10**12
"""Minor units beyond which a line is a slip of the pen and not a price: ten thousand millions in a
currency of two decimals."""


@dataclass(frozen=True)
class Line:
    """One line of the price; money in minor units.

    `minutes` and `amount` are what is charged, `computed` is the amount the engine came to before
    anything was set by hand, `reason` says why it was (else ""), `why` is the arithmetic in words.
    """

    key: str
    kind: Kind
    panel: str
    text: str
    minutes: int | None
    computed: int
    amount: int
    reason: str
    why: str

    @property
    def by_hand(self) -> bool:
        """Whether hours or amount were set by hand."""
        return bool(self.reason)


@dataclass(frozen=True)
class Costing:
    """The priced lines and their sums in minor units.

    `stale` are the keys of overrides whose line no longer exists. `tax` is 0 where none is charged.
    """

    lines: tuple[Line, ...]
    net: int
    tax: int
    total: int
    deposit: int
    stale: tuple[str, ...] = ()

    @property
    def minutes(self) -> int:
        """Hands-on minutes charged."""
        return sum(line.minutes or 0 for line in self.lines)

    def of_kind(self, kind: Kind) -> int:
        """The sum of the lines of one kind; the four kinds add up to the net."""
        return sum(line.amount for line in self.lines if line.kind == kind)

    def of_panel(self, panel: str) -> int:
        """The sum of the work lines of one panel; the other kinds belong to none."""
        return sum(
            line.amount for line in self.lines if line.kind == "work" and line.panel == panel
        )


def cost(
    work: Iterable[Work],
    supplies: Iterable[Supply],
    terms: Terms,
    overrides: Mapping[str, Override],
    extras: Iterable[Extra] = (),
) -> Costing:
    """Price work, supplies and extras on the terms, with the lines in the order given.

    The contingency comes last and is worked on all of them, the extras too: what is bought or
    carried can turn out dearer as well. It is common practice, no source.

    `overrides` maps line keys (`CONTINGENCY_KEY` for the contingency) to what was set by hand; an
    override of a line that does not exist changes nothing and is named in `Costing.stale`. A line
    given other minutes is charged at the hourly cost for them unless it is given an amount too.

    Raises ValueError, in words for the painter, for two lines of one key, hours set on a line
    that is not work, and a line above 10^12 minor units.
    """
    lines = [_work_line(item, terms, overrides.get(item.key)) for item in work]
    lines += [_supply_line(item, overrides.get(item.key)) for item in supplies]
    lines += [_extra_line(item, overrides.get(item.key)) for item in extras]
    _refuse_doubles(lines)
    basis = sum(line.amount for line in lines)
    by_hand = overrides.get(CONTINGENCY_KEY)
    if terms.contingency or by_hand:
        lines.append(_contingency_line(basis, terms, by_hand))
    net = sum(line.amount for line in lines)
    tax = half_up(_share(net, terms.tax or Decimal(0)))
    total = net + tax
    known = {line.key for line in lines}
    return Costing(
        lines=tuple(lines),
        net=net,
        tax=tax,
        total=total,
        deposit=half_up(_share(total, terms.deposit)),
        stale=tuple(key for key in overrides if key not in known),
    )


def _work_line(item: Work, terms: Terms, by_hand: Override | None) -> Line:
    def charge(minutes: int) -> Fraction:
        return Fraction(minutes * terms.hourly_cost, 60)

    minutes = item.minutes
    if by_hand and by_hand.minutes is not None:
        minutes = by_hand.minutes
    return _line(
        key=item.key,
        kind="work",
        panel=item.panel,
        text=item.text,
        minutes=minutes,
        computed=charge(item.minutes),
        charged=charge(minutes),
        why=item.why,
        by_hand=by_hand,
    )


def _supply_line(item: Supply, by_hand: Override | None) -> Line:
    _refuse_hours(item.text, by_hand)
    bought = packs(item.ml, item.pack_ml)
    noun = "pack" if bought == 1 else "packs"
    by_use = Fraction(item.ml) / item.pack_ml * item.pack_price
    return _line(
        key=item.key,
        kind="material",
        panel="",
        text=f"{item.text}, {_ml(item.ml)} ml ({bought} {noun} of {item.pack_ml} ml)",
        minutes=None,
        computed=by_use,
        charged=by_use,
        why=item.why,
        by_hand=by_hand,
    )


def _extra_line(item: Extra, by_hand: Override | None) -> Line:
    _refuse_hours(item.text, by_hand)
    price = Fraction(item.amount)
    return _line(
        key=item.key,
        kind="extra",
        panel="",
        text=item.text,
        minutes=None,
        computed=price,
        charged=price,
        why="",
        by_hand=by_hand,
    )


def _contingency_line(basis: int, terms: Terms, by_hand: Override | None) -> Line:
    _refuse_hours("Contingency", by_hand)
    percent = f"{terms.contingency.normalize():f} %"
    share = _share(basis, terms.contingency)
    return _line(
        key=CONTINGENCY_KEY,
        kind="contingency",
        panel="",
        text=f"Contingency, {percent}",
        minutes=None,
        computed=share,
        charged=share,
        why=f"{percent} of the lines above",
        by_hand=by_hand,
    )


def _line(
    *,
    key: str,
    kind: Kind,
    panel: str,
    text: str,
    minutes: int | None,
    computed: Fraction,
    charged: Fraction,
    why: str,
    by_hand: Override | None,
) -> Line:
    amount = half_up(charged)
    if by_hand and by_hand.amount is not None:
        amount = by_hand.amount
    if max(amount, charged, computed) > LARGEST_LINE:
        raise ValueError(f"{text}: this comes to far more than any price. Look at its figures.")
    reason = by_hand.reason.strip() if by_hand else ""
    return Line(key, kind, panel, text, minutes, half_up(computed), amount, reason, why)


def _share(amount: int, percent: Decimal) -> Exact:
    return amount * Fraction(percent) / 100


def _ml(ml: Decimal) -> str:
    # A use under a millilitre is shown to a tenth, for "0 ml" would read as nothing used.
    return f"{ml:.0f}" if ml == 0 or ml >= 1 else f"{max(ml, Decimal('0.1')):.1f}"


def _refuse_hours(text: str, by_hand: Override | None) -> None:
    if by_hand and by_hand.minutes is not None:
        raise ValueError(f"{text}: hours can be set only on a line of work. Give an amount.")


def _refuse_doubles(lines: list[Line]) -> None:
    for key, times in Counter(line.key for line in lines).items():
        if times > 1:
            raise ValueError(f"Two lines of the estimate have the key '{key}'.")
