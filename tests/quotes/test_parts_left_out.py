"""A part of what the client accepted is kept, and the refusal says a way that works."""

from datetime import timedelta

import pytest
from django.urls import reverse

from jobs.domain.commissions import hand_over
from jobs.models import Commission, Panel
from quotes.domain.estimates import accept_estimate, issue_estimate, set_line
from quotes.domain.pricing import price_commission
from quotes.models import Estimate
from quotes.papers import draft_estimate
from studio.domain.records import remove_record
from studio.refusal import Refused
from tests.cast import asked, painted, panel_of, piece_of, surface_of

ONE_COAT = (("ground-colour", "acrylic", 1, "recoat"),)


def fresh() -> Commission:
    return Commission.objects.select_related("studio", "client").get()


def issue(clock) -> Estimate:
    draft = draft_estimate(fresh(), now=clock.now)
    return issue_estimate(draft, at=clock.now, seen_total=draft.pricing.costing.total)


@pytest.fixture
def panels(clock, anna) -> tuple[Panel, Panel]:
    """Two panels of one commission that the client has accepted."""
    surface = surface_of(piece_of(asked(anna.studio)))
    panel_of(surface, steps=ONE_COAT)
    panel_of(surface, "Finch", left=3000, steps=ONE_COAT)
    accept_estimate(issue(clock), at=clock.now)
    return tuple(Panel.objects.order_by("pk"))


def refused(browser, panel: Panel) -> str:
    answer = browser.post(reverse("panel-remove", args=[panel.pk]))
    assert answer.status_code == 422
    assert Panel.objects.filter(pk=panel.pk).exists()
    return answer.context["refusal"]


def test_before_work_begins_the_acceptance_is_undone_first(at_desk, panels, clock):
    _, finch = panels
    assert "undo the acceptance" in refused(at_desk, finch)
    at_desk.post(reverse("acceptance-undo", args=[fresh().number]))
    answer = at_desk.post(reverse("panel-remove", args=[finch.pk]))
    assert answer.status_code == 302
    assert not Panel.objects.filter(pk=finch.pk).exists()
    accept_estimate(issue(clock), at=clock.now)


def test_once_work_has_begun_it_is_priced_at_nothing_and_loses_its_stages(
    at_desk, panels, anna, clock
):
    plait, finch = panels
    painted(plait.stages.get(), by=anna, end=clock.now)
    said = refused(at_desk, finch)
    assert "set its lines to nothing" in said
    assert "undo" not in said
    before = price_commission(fresh()).costing
    (line,) = (line for line in before.lines if line.panel == str(finch.pk))
    set_line(fresh(), line.key, minutes=0, amount=0, reason="Left out after all")
    accept_estimate(issue(clock), at=clock.now)
    assert price_commission(fresh()).costing.net < before.net
    remove_record(Panel.objects.get(pk=finch.pk).stages.get())
    assert fresh().state == Commission.State.DRYING_OUT
    hand_over(fresh(), at=clock.now + timedelta(days=9))
    assert "handed over" in refused(at_desk, finch)


def test_what_was_worked_on_names_its_log(at_desk, panels, anna, clock):
    plait, _ = panels
    painted(plait.stages.get(), by=anna, end=clock.now)
    assert "Work is logged on ‘Plait’" in refused(at_desk, plait)


def test_a_surface_and_a_piece_are_kept_with_their_panels(panels):
    plait, _ = panels
    for part in (plait.surface, plait.surface.piece):
        with pytest.raises(Refused, match="what the client accepted"):
            remove_record(part)
