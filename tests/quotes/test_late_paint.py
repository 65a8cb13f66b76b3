"""The paint of a colour decided late: how much it is, and in whose money."""

from decimal import Decimal

import pytest

from jobs.domain.grounds import WHITE
from jobs.domain.mix_needs import mix_needs
from jobs.domain.mixes import keep_mix
from jobs.models import Mix, Panel, Supply
from quotes.domain.pricing import price_commission
from studio.models import Studio
from tests.cast import job, studio_of
from tests.quotes.test_late import CREAM, UMBER, ask, cost_of, late, over_umber


@pytest.fixture
def panel(anna) -> Panel:
    return job(anna.studio, ground_name="Warm cream", ground_colour=CREAM)


def test_paint_she_has_no_price_for_is_left_out_and_said(panel, anna):
    Supply.objects.filter(studio=anna.studio, binder="acrylic").delete()
    found = over_umber(panel)
    one = cost_of(found, "Warm cream")
    assert not found.priced
    assert one.paint == 0
    assert one.work > 0


def test_a_fresh_studio_in_another_currency_is_told_coats_and_hours_without_paint(client, db):
    person = studio_of("North", person="Dag", email="dag@example.org", currency="NOK")
    panel = job(person.studio, ground_name="Warm cream", ground_colour=CREAM)
    supply = Supply.objects.of(person.studio).get(binder="acrylic")
    assert supply.pack_price is None
    client.force_login(person)
    page = ask(client, panel, over=WHITE, colour=UMBER, opacity="semi-transparent", film="")
    assert page.status_code == 200
    tried = page.context["late"].costs[-1]
    assert tried.extra
    assert (tried.paint, tried.money) == (0, tried.work)
    shown = page.content.decode()
    assert f"No price of a pack of ‘{supply.name}’ in NOK is written down" in shown
    assert "without paint" in shown


def test_a_price_in_the_currency_of_before_is_not_taken_as_hers(panel, anna, at_desk):
    assert over_umber(panel).priced
    Studio.objects.filter(pk=anna.studio.pk).update(currency="JPY")
    found = over_umber(panel)
    one = cost_of(found, "Warm cream")
    assert not found.priced
    assert "in JPY" in found.unpriced
    assert (one.paint, one.money) == (0, one.work)


def test_the_paint_goes_by_the_rate_at_which_she_spreads_it(panel, anna):
    usual = cost_of(over_umber(panel), "Warm cream")
    supply = Supply.objects.get(studio=anna.studio, binder="acrylic")
    supply.spread_rate /= 2
    supply.save()
    thick = cost_of(over_umber(panel), "Warm cream")
    assert float(thick.ml / thick.extra) == pytest.approx(
        float(2 * usual.ml / usual.extra), rel=0.001
    )


def test_late_coats_the_mix_page_and_the_estimate_reckon_the_same_paint(panel, anna):
    gold = keep_mix(Mix(studio=anna.studio, name="Gold", colour="#c9a24b"), parts={"PY43": 1})
    panel.stages.filter(kind="ground-colour").update(mix=gold, film_um=150)
    (need,) = mix_needs(gold).stages
    # 0.04 m² at 150 microns are 6 ml, and what is lost on top.
    supply = Supply.objects.get(studio=anna.studio, binder="acrylic")
    assert need.ml == 6 * need.coats * (1 + supply.waste / 100)
    one = cost_of(late(panel, over=("Burnt umber", UMBER)), "Gold")
    assert one.ml == pytest.approx(need.ml / need.coats * one.extra, abs=Decimal("0.02"))
    (line,) = [
        line
        for line in price_commission(panel.commission).costing.lines
        if line.key == "material-acrylic"
    ]
    assert line.amount == round(need.ml / supply.pack_ml * supply.price)
    assert "in a wet film of 150 microns, as typed" in line.why
