"""Costing: a price that adds up, whatever was set by hand."""

from dataclasses import replace
from decimal import Decimal

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from jobs.paint.film import packs
from quotes.engine.costing import Costing, cost
from quotes.engine.terms import CONTINGENCY_KEY, Extra, Override, Supply, Terms, Work

TERMS = Terms(hourly_cost=3000, contingency=Decimal(10), tax=Decimal(20), deposit=Decimal("33.3"))
PRIME = Work("1:prime", "door", "Primed with three coats of gesso", 100, why="42 dm2 x 2.4 min")
PAINT = Work("1:paint", "door", "Painted in oil", 425)
GESSO = Supply("gesso", "Gesso", Decimal("312"), 250, 1295)

percents = st.decimals(0, 100, places=2)
texts = st.just("Painted")
works = st.lists(
    st.builds(
        Work,
        key=st.integers(0, 10**6).map(lambda n: f"w{n}"),
        panel=st.sampled_from(["", "door", "lid"]),
        text=texts,
        minutes=st.integers(0, 20_000),
    ),
    unique_by=lambda item: item.key,
    max_size=12,
)
supplies = st.lists(
    st.builds(
        Supply,
        key=st.integers(0, 10**6).map(lambda n: f"s{n}"),
        text=texts,
        ml=st.decimals(0, 5000, places=2),
        pack_ml=st.integers(1, 5000),
        pack_price=st.integers(0, 100_000),
    ),
    unique_by=lambda item: item.key,
    max_size=6,
)
extras = st.lists(
    st.builds(
        Extra,
        key=st.integers(0, 10**6).map(lambda n: f"x{n}"),
        text=texts,
        amount=st.integers(0, 10**7),
    ),
    unique_by=lambda item: item.key,
    max_size=4,
)
terms = st.builds(
    Terms,
    hourly_cost=st.integers(0, 50_000),
    contingency=percents,
    tax=st.none() | percents,
    deposit=percents,
)


@st.composite
def costings(draw: st.DrawFn) -> tuple[Costing, Terms, dict[str, Override]]:
    """A costing with hand-set amounts on any of its lines, and on some that are gone."""
    work, stuff, own, on = draw(works), draw(supplies), draw(extras), draw(terms)
    keys = [item.key for item in (*work, *stuff, *own)] + [CONTINGENCY_KEY, "gone"]
    by_hand = draw(
        st.dictionaries(
            st.sampled_from(keys),
            st.builds(
                Override,
                minutes=st.none(),
                amount=st.integers(0, 10**7),
                reason=st.just("agreed"),
            ),
            max_size=4,
        )
    )
    return cost(work, stuff, on, by_hand, own), on, by_hand


@given(costings())
@settings(max_examples=80)
def test_the_lines_add_up_to_the_net_and_with_the_tax_to_the_total(
    case: tuple[Costing, Terms, dict[str, Override]],
) -> None:
    costing, _, _ = case
    assert costing.net == sum(line.amount for line in costing.lines)
    assert costing.total == costing.net + costing.tax
    kinds = ("work", "material", "extra", "contingency")
    assert sum(costing.of_kind(kind) for kind in kinds) == costing.net


@given(costings())
@settings(max_examples=80)
def test_tax_and_deposit_are_their_per_cent_to_within_half_a_minor_unit(
    case: tuple[Costing, Terms, dict[str, Override]],
) -> None:
    costing, on, _ = case
    assert abs(costing.tax * 100 - costing.net * (on.tax or 0)) <= 50
    assert abs(costing.deposit * 100 - costing.total * on.deposit) <= 50


@given(costings())
@settings(max_examples=80)
def test_a_line_set_by_hand_keeps_what_was_computed_and_the_reason(
    case: tuple[Costing, Terms, dict[str, Override]],
) -> None:
    costing, _, by_hand = case
    for line in costing.lines:
        assert line.by_hand == (line.key in by_hand)
        if line.by_hand:
            assert line.amount == by_hand[line.key].amount
        else:
            assert line.amount == line.computed


@given(costings())
@settings(max_examples=40)
def test_an_override_is_either_on_a_line_or_reported_as_stale(
    case: tuple[Costing, Terms, dict[str, Override]],
) -> None:
    costing, _, by_hand = case
    assert set(by_hand) == {line.key for line in costing.lines if line.by_hand} | set(costing.stale)


def test_a_small_job_priced_by_hand_comes_out_the_same() -> None:
    # 100 min at 30.00 an hour is 50.00; 425 min is 212.50; 312 ml of a 250 ml pack at 12.95 is
    # 16.1616 -> 16.16. Sum 278.66, contingency 10 % 27.866 -> 27.87, net 306.53.
    # Tax 20 % 61.306 -> 61.31, total 367.84, deposit 33.3 % 122.49072 -> 122.49.
    costing = cost([PRIME, PAINT], [GESSO], TERMS, {})
    assert [line.amount for line in costing.lines] == [5000, 21250, 1616, 2787]
    assert (costing.net, costing.tax) == (30653, 6131)
    assert (costing.total, costing.deposit) == (36784, 12249)
    assert costing.minutes == 525
    assert costing.of_panel("door") == 26250


def test_material_is_charged_by_use_and_names_the_packs_to_buy() -> None:
    line = cost([], [GESSO], TERMS, {}).lines[0]
    assert line.text == "Gesso, 312 ml (2 packs of 250 ml)"
    assert packs(Decimal(250), 250) == 1
    assert packs(Decimal(0), 250) == 0


@given(st.decimals(0, 100_000, places=2), st.integers(1, 5000))
def test_packs_hold_the_paint_and_none_is_bought_for_nothing(ml: Decimal, pack: int) -> None:
    bought = packs(ml, pack)
    assert bought * pack >= ml > (bought - 1) * pack or bought == ml == 0
    small = cost([], [replace(GESSO, ml=Decimal("0.04"))], TERMS, {}).lines[0]
    assert small.text == "Gesso, 0.1 ml (1 pack of 250 ml)"


def test_other_minutes_are_charged_at_the_hourly_cost() -> None:
    costing = cost([PRIME], [], TERMS, {PRIME.key: Override(140, None, " rough old boards ")})
    line = costing.lines[0]
    assert (line.minutes, line.amount, line.computed) == (140, 7000, 5000)
    assert (line.reason, line.why) == ("rough old boards", PRIME.why)


def test_an_amount_set_by_hand_goes_before_the_minutes() -> None:
    costing = cost([PRIME], [], TERMS, {PRIME.key: Override(140, 6500, "agreed on the phone")})
    assert (costing.lines[0].minutes, costing.lines[0].amount) == (140, 6500)


def test_contingency_is_worked_on_the_amounts_as_charged() -> None:
    costing = cost([PRIME], [], TERMS, {PRIME.key: Override(None, 10_000, "fixed price")})
    assert costing.of_kind("contingency") == 1000


def test_contingency_is_worked_on_the_extras_too() -> None:
    delivery = Extra("extra-1", "Delivery", 4500)
    costing = cost([PRIME], [], TERMS, {}, [delivery])
    assert [line.kind for line in costing.lines] == ["work", "extra", "contingency"]
    assert costing.of_kind("contingency") == (5000 + 4500) // 10


@pytest.mark.parametrize(
    ("change", "sentence"),
    [({"amount": -1}, "cannot be negative"), ({"key": CONTINGENCY_KEY}, "kept for the")],
)
def test_an_extra_that_makes_no_sense_is_refused(change: dict[str, object], sentence: str) -> None:
    with pytest.raises(ValueError, match=sentence):
        replace(Extra("extra-1", "Delivery", 4500), **change)


def test_hours_cannot_be_set_on_an_extra() -> None:
    with pytest.raises(ValueError, match="Delivery: hours can be set only"):
        cost([], [], TERMS, {"x": Override(10, None, "more")}, [Extra("x", "Delivery", 1)])


def test_contingency_can_be_set_by_hand_even_where_the_terms_have_none() -> None:
    none = replace(TERMS, contingency=Decimal(0))
    assert [line.kind for line in cost([PRIME], [], none, {}).lines] == ["work"]
    costing = cost([PRIME], [], none, {CONTINGENCY_KEY: Override(None, 900, "old wax")})
    assert costing.of_kind("contingency") == 900
    assert costing.stale == ()


def test_a_studio_without_tax_charges_none() -> None:
    costing = cost([PRIME], [], replace(TERMS, tax=None), {})
    assert (costing.tax, costing.total) == (0, costing.net)


def test_an_override_of_a_line_that_is_gone_changes_nothing_and_is_named() -> None:
    plain = cost([PRIME], [GESSO], TERMS, {})
    costing = cost([PRIME], [GESSO], TERMS, {"9:glaze": Override(None, 1, "old")})
    assert costing == replace(plain, stale=("9:glaze",))


def test_nothing_to_do_costs_nothing() -> None:
    costing = cost([], [], TERMS, {})
    assert (costing.net, costing.tax, costing.total, costing.deposit) == (0, 0, 0, 0)


@pytest.mark.parametrize(
    ("minutes", "amount", "reason", "sentence"),
    [
        (None, 100, "  ", "Say why"),
        (None, None, "because", "Give the hours or the amount"),
        (-1, None, "because", "less than nothing"),
        (None, -1, "because", "cannot be negative"),
    ],
)
def test_an_override_that_makes_no_sense_is_refused_in_words(
    minutes: int | None, amount: int | None, reason: str, sentence: str
) -> None:
    with pytest.raises(ValueError, match=sentence):
        Override(minutes, amount, reason)


@pytest.mark.parametrize(
    ("field", "value"),
    [("contingency", "-1"), ("tax", "100.01"), ("deposit", "101"), ("tax", "NaN")],
)
def test_a_per_cent_outside_0_to_100_is_refused_by_name(field: str, value: str) -> None:
    with pytest.raises(ValueError, match=f"The {field} must be between 0 and 100 %"):
        replace(TERMS, **{field: Decimal(value)})


def test_a_negative_hourly_cost_is_refused() -> None:
    with pytest.raises(ValueError, match="cost of an hour"):
        replace(TERMS, hourly_cost=-1)


@pytest.mark.parametrize(
    ("change", "sentence"),
    [
        ({"ml": Decimal(-1)}, "cannot be less than nothing"),
        ({"pack_ml": 0}, "hold more than nothing"),
        ({"pack_price": -1}, "cannot be negative"),
        ({"key": ""}, "has no key"),
        ({"key": CONTINGENCY_KEY}, "kept for the contingency"),
    ],
)
def test_a_supply_that_makes_no_sense_is_refused_by_name(
    change: dict[str, object], sentence: str
) -> None:
    with pytest.raises(ValueError, match=sentence):
        replace(GESSO, **change)


def test_negative_minutes_of_work_are_refused_by_name() -> None:
    with pytest.raises(ValueError, match="Painted in oil: the hours"):
        replace(PAINT, minutes=-1)


def test_hours_cannot_be_set_on_a_material() -> None:
    with pytest.raises(ValueError, match="Gesso: hours can be set only on a line of work"):
        cost([], [GESSO], TERMS, {"gesso": Override(10, None, "more")})


def test_two_lines_of_one_key_are_refused() -> None:
    with pytest.raises(ValueError, match="have the key '1:prime'"):
        cost([PRIME, PRIME], [], TERMS, {})


def test_an_absurd_price_is_refused_instead_of_stored() -> None:
    with pytest.raises(ValueError, match="far more than any price"):
        cost([replace(PRIME, minutes=10**9)], [], replace(TERMS, hourly_cost=10**9), {})
