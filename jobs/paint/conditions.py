"""Whether a layering rule holds for a coat: one function for each condition of `rules.toml`."""

from collections.abc import Callable, Sequence
from datetime import datetime

from jobs.paint.drying import Climate, drying
from jobs.paint.fatness import fatness
from jobs.paint.gates import NO_WAIT, TOUCH_DRY, at_least
from jobs.paint.pigments import DryingClass, Pigment
from jobs.paint.pigments import pigments as known_pigments
from jobs.paint.rules import Coat, Rule
from jobs.paint.stack import Case, Layer
from jobs.paint.substrates import preparations
from jobs.paint.worked_in import drying_medium

_ROOM = Climate()


def holds(rule: Rule, case: Case) -> bool:
    """Whether every condition that the rule states is met. ValueError for an unknown binder."""
    return all(condition(rule, case) for condition in _CONDITIONS)


def opened_until(rule: Rule, case: Case) -> datetime | None:
    """Until when the coat under it stayed open to wet-in-wet; None where that is not known."""
    finished, dry = case.dries_at.get(NO_WAIT.key), case.dries_at.get(TOUCH_DRY.key)
    if rule.window is None or finished is None or dry is None:
        return None
    return finished + (dry - finished) * rule.window


def fits_both(rule: Rule, case: Case) -> bool:
    """Whether it is of such coats that the rule speaks, whatever else it asks for."""
    return _upper(rule, case) and _lower(rule, case)


def ground_coats(case: Case) -> int:
    """How many coats of ground lie under it."""
    return sum(each.coats for each in case.below if each.paint.role == "ground")


def _fits(asked: Coat, layer: Layer) -> bool:
    found = (
        (asked.family, layer.paint.family),
        (asked.role, layer.paint.role),
        (asked.binder, layer.binder),
        (asked.kind, layer.kind),
        (asked.medium, layer.medium),
    )
    named = all(not wanted or value in wanted for wanted, value in found)
    parts = not asked.pigment or not set(asked.pigment).isdisjoint(layer.pigments)
    return named and parts and (not asked.hazard or bool(poisons(asked, layer)))


def poisons(asked: Coat, layer: Layer) -> tuple[Pigment, ...]:
    """Its pigments whose caution is among those a rule asks for"""
    known = (known_pigments().get(ci) for ci in layer.pigments)
    return tuple(each for each in known if each and each.hazard in asked.hazard)


def _upper(rule: Rule, case: Case) -> bool:
    meant = rule.cold or "dry" in rule.upper.family or bool(rule.upper.kind)
    return (case.upper.paint.leaves_film or meant) and _fits(rule.upper, case.upper)


def _lower(rule: Rule, case: Case) -> bool:
    if case.lower is None:
        return not rule.needs_lower
    return _fits(rule.lower, case.lower)


def _piece(rule: Rule, case: Case) -> bool:
    if rule.use and case.use not in rule.use:
        return False
    if rule.first and case.lower is not None:
        return False
    if rule.finish and (case.finish is None or case.finish.key not in rule.finish):
        return False
    if rule.substrate and (case.substrate is None or case.substrate.key not in rule.substrate):
        return False
    return not rule.grain or (case.substrate is not None and case.substrate.grain)


def _missing(rule: Rule, case: Case) -> bool:
    if not rule.missing:
        return True
    needing = [each for each in (case.substrate, case.finish) if each]
    if all(rule.missing not in each.needs for each in needing):
        return False
    wanted = preparations()[rule.missing]
    return not any(wanted.done_by(each.kind, each.paint) for each in (*case.below, case.upper))


def _without(rule: Rule, case: Case) -> bool:
    if not rule.without:
        return True
    steps = iter(case.below)
    if all(any(step in (each.kind, each.binder) for each in steps) for step in rule.without):
        return False
    last = rule.without[-1]
    for each in case.above:
        if each.paint.leaves_film:
            break
        if last in (each.kind, each.binder):
            return False
    return True


def _over_drawing(rule: Rule, case: Case) -> bool:
    return not rule.over_drawing or any(each.paint.family == "dry" for each in case.between)


def _dryness(rule: Rule, case: Case) -> bool:
    if rule.wet and case.reached != NO_WAIT.key:
        return False
    if rule.early and at_least(case.reached, _under(case).gate):
        return False
    if rule.before and at_least(case.reached, rule.before):
        return False
    return not rule.after or at_least(case.reached, rule.after)


def _window(rule: Rule, case: Case) -> bool:
    if rule.window is None:
        return True
    opened = opened_until(rule, case)
    meant = _under(case).gate == NO_WAIT.key and case.reached == NO_WAIT.key
    return meant and opened is not None and case.at is not None and case.at > opened


def _pace(rule: Rule, case: Case) -> bool:
    if rule.slower_by is None:
        return True
    lower = _under(case)
    slow = _touch_hours(lower, lower.slowest)
    quick = _touch_hours(case.upper, case.upper.quickest)
    return quick * rule.slower_by <= slow


def _touch_hours(layer: Layer, pace: DryingClass) -> float:
    wait = drying(
        layer.paint,
        TOUCH_DRY.key,
        _ROOM,
        thickness_um=layer.thickness_um,
        medium=drying_medium(layer.medium, layer.binder),
        lends=layer.lends,
        pace=pace,
    )
    return wait.median.total_seconds() / 3600


def _fat(rule: Rule, case: Case) -> bool:
    if rule.leaner_by is None:
        return True
    lower = _under(case)
    drop = fatness(lower.binder, lower.medium) - fatness(case.upper.binder, case.upper.medium)
    return drop >= rule.leaner_by


def _thickness(rule: Rule, case: Case) -> bool:
    upper = case.upper.film_um
    if rule.from_um is not None and upper < rule.from_um:
        return False
    if rule.to_um is not None and upper > rule.to_um:
        return False
    if rule.thick_from is not None and _under(case).film_um < rule.thick_from:
        return False
    return rule.thinner_by is None or upper * rule.thinner_by <= _under(case).film_um


def _colour(rule: Rule, case: Case) -> bool:
    if rule.pale is not None:
        own = case.upper.brightness
        if own is not None and own < rule.pale:
            return False
    if rule.darker_than is None and rule.lighter_than is None:
        return True
    below = _under(case).brightness
    if below is None:
        return False
    dark = rule.darker_than is None or below < rule.darker_than
    return dark and (rule.lighter_than is None or below > rule.lighter_than)


def _ground(rule: Rule, case: Case) -> bool:
    if rule.coats_of_ground is None:
        return True
    painted = [each.paint for each in case.below if each.paint.role != "ground"]
    first = all(each.family != case.upper.paint.family for each in painted)
    return first and ground_coats(case) < rule.coats_of_ground


def _room(rule: Rule, case: Case) -> bool:
    if case.climate is None:
        return not rule.cold and rule.damper_than is None
    paint = case.upper.paint
    if rule.cold and not (paint.waits and case.climate.temperature_c < paint.lowest_c):
        return False
    return rule.damper_than is None or case.climate.humidity > rule.damper_than


def _under(case: Case) -> Layer:
    assert case.lower is not None, "conditions on the lower coat come after _lower"
    return case.lower


_CONDITIONS: Sequence[Callable[[Rule, Case], bool]] = (
    _upper,
    _lower,
    _piece,
    _missing,
    _without,
    _over_drawing,
    _dryness,
    _window,
    _thickness,
    _fat,
    _colour,
    _ground,
    _room,
    _pace,
)
