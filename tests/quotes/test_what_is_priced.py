"""What moves a price and its dates: spread and waste, the tax, slow colours, two issues at once."""

from io import BytesIO
from threading import Thread

import pdfplumber
import pytest
from django.db import connection, transaction

from jobs.domain.commissions import lock_commission
from jobs.domain.mixes import keep_mix
from jobs.labour.stages import stage_kind
from jobs.models import Commission, Mix, Panel, Supply
from quotes.domain import estimates
from quotes.domain.estimates import issue_estimate
from quotes.domain.pricing import price_commission
from quotes.domain.promise import promise_for
from quotes.models import Estimate
from quotes.papers import draft_estimate
from studio.models import Studio
from studio.refusal import Refused
from tests.cast import asked, panel_of, piece_of, studio_of, surface_of

SLOW, QUICK = "PBk9", "PBr7"
"""Ivory black is slow in oil, umber is not: makers' lists of drying times."""


@pytest.fixture
def commission(clock, anna) -> Commission:
    return asked(anna.studio)


@pytest.fixture
def surface(commission):
    return surface_of(piece_of(commission))


@pytest.fixture
def panel(surface) -> Panel:
    return panel_of(surface)


def fresh(commission: Commission) -> Commission:
    return Commission.objects.select_related("studio", "client").get(pk=commission.pk)


def words_of(pdf: bytes) -> str:
    with pdfplumber.open(BytesIO(bytes(pdf))) as sheets:
        return " ".join(" ".join(page.extract_text().split()) for page in sheets.pages)


def materials(commission: Commission) -> int:
    """Return what all paint comes to where a millilitre costs a hundred minor units."""
    Supply.objects.update(pack_ml=1, pack_price=100)
    return price_commission(fresh(commission)).costing.of_kind("material")


class TestMaterials:
    @pytest.mark.parametrize("kind", ["prime", "letter", "seal", "details"])
    def test_a_coat_takes_paint_for_the_share_of_the_panel_it_covers(
        self, kind, surface, commission
    ):
        usual = stage_kind(kind)
        panel_of(surface, steps=((kind, usual.binder, 2, usual.gate),))
        Supply.objects.update(spread_rate=8, waste=25)
        # 20 x 20 cm, two coats, 8 m2 a litre, a quarter more for brush and pot.
        litres = 0.2 * 0.2 * float(usual.cover) * 2 * 1.25 / 8
        assert materials(commission) == pytest.approx(litres * 1000 * 100, abs=1)

    def test_the_kinds_of_work_cover_different_shares(self):
        shares = {kind: float(stage_kind(kind).cover) for kind in ("prime", "letter", "seal")}
        assert shares == {"prime": 1, "letter": 0.3, "seal": 0.1}

    @pytest.mark.parametrize(
        ("field", "before", "after", "times"),
        [("spread_rate", 5, 10, 0.5), ("waste", 0, 50, 1.5), ("waste", 100, 0, 0.5)],
    )
    def test_paint_that_goes_farther_or_is_lost_less_costs_less(
        self, field, before, after, times, panel, commission
    ):
        Supply.objects.update(**{field: before})
        first = materials(commission)
        Supply.objects.update(**{field: after})
        assert materials(commission) == pytest.approx(first * times, abs=3)


class TestTax:
    @pytest.mark.parametrize(("name", "rate"), [("VAT", 20), ("GST", 5), ("Sales tax", 0)])
    def test_a_tax_is_printed_by_its_name_and_rate_under_the_net(
        self, name, rate, panel, commission, clock
    ):
        Studio.objects.update(tax_name=name, tax_rate=rate)
        draft = draft_estimate(fresh(commission), now=clock.now)
        estimate = issue_estimate(draft, at=clock.now, seen_total=draft.pricing.costing.total)
        words = words_of(estimate.pdf)
        assert f" {name} {rate} % £" in words
        assert " Net £" in words
        assert estimate.tax_name == name
        assert estimate.tax == pytest.approx(estimate.net * rate / 100, abs=0.5)

    def test_a_studio_that_charges_none_prints_neither_tax_nor_net(self, panel, commission, clock):
        Studio.objects.update(tax_name="VAT", tax_rate=None)
        draft = draft_estimate(fresh(commission), now=clock.now)
        estimate = issue_estimate(draft, at=clock.now, seen_total=draft.pricing.costing.total)
        words = words_of(estimate.pdf)
        assert "VAT" not in words
        assert " Net " not in words
        assert (estimate.tax_name, estimate.tax) == ("", 0)
        assert estimate.total == estimate.net


class TestPigments:
    def ready(self, surface, clock, pigment: str):
        """Return the promise where two coats of oil hold one tube colour."""
        steps = (("first-oil", "oil", 2, "touch-dry"), ("details", "oil", 1, "through-dry"))
        panel = panel_of(surface, pigment, steps=steps)
        mix = Mix(studio=panel.owner, name=pigment, colour="#222222")
        panel.stages.update(mix=keep_mix(mix, parts={pigment: 1}))
        promise = promise_for(fresh(panel.commission), now=clock.now)
        panel.delete()
        return promise

    def test_the_dates_of_an_estimate_wait_for_a_slow_colour(self, surface, clock):
        quick = self.ready(surface, clock, QUICK)
        slow = self.ready(surface, clock, SLOW)
        assert slow.last_work > quick.last_work
        assert slow.likely > quick.likely


class TestTwoAtOnce:
    def test_an_issue_that_waited_for_another_sees_it_and_takes_no_number_twice(
        self, panel, commission, clock, monkeypatch
    ):
        one, two = (draft_estimate(fresh(commission), now=clock.now) for _ in range(2))
        total = one.pricing.costing.total

        def waits(locked: Commission) -> None:
            monkeypatch.setattr(estimates, "lock_commission", lock_commission)
            issue_estimate(one, at=clock.now, seen_total=total)
            lock_commission(locked)

        monkeypatch.setattr(estimates, "lock_commission", waits)
        with pytest.raises(Refused, match="Issue 1 was made meanwhile"):
            issue_estimate(two, at=clock.now, seen_total=total)

    if connection.vendor == "postgresql":

        @pytest.mark.django_db(transaction=True)
        def test_the_second_of_two_issues_waits_for_the_first(self, clock):
            # SQLite lets one writer in at a time, so only here can the lock be missed.
            commission = asked(studio_of("Two", person="Ada", email="ada@example.org").studio)
            panel_of(surface_of(piece_of(commission)))
            one, two = (draft_estimate(fresh(commission), now=clock.now) for _ in range(2))
            total, told = one.pricing.costing.total, []

            def second() -> None:
                try:
                    issue_estimate(two, at=clock.now, seen_total=total)
                except Exception as error:
                    told.append(error)
                finally:
                    connection.close()

            thread = Thread(target=second)
            with transaction.atomic():
                issue_estimate(one, at=clock.now, seen_total=total)
                thread.start()
                thread.join(0.5)
                assert thread.is_alive()
            thread.join(10)
            assert [type(error) for error in told] == [Refused]
            assert Estimate.objects.count() == 1
