"""A commission's life, from enquiry to hand-over."""

from datetime import UTC, datetime, timedelta

import pytest
from django.urls import reverse
from django.utils import timezone

from jobs.domain.commissions import (
    hand_over,
    open_commission,
    reopen_commission,
)
from jobs.domain.methods import keep_step
from jobs.domain.work import remove_sitting
from jobs.models import Client, Commission, Stage
from studio.domain.records import keep_record, remove_record
from studio.refusal import Refused
from studio.signals import hold_changes
from tests.cast import asked, painted, panel_of, piece_of, surface_of

MONDAY = datetime(2026, 11, 2, 9, tzinfo=UTC)
ONE_COAT = (("ground-colour", "acrylic", 1, "recoat"),)
State = Commission.State


def state_of(commission: Commission) -> str:
    commission.refresh_from_db()
    return commission.state


@pytest.fixture
def agreed(anna) -> Commission:
    return asked(anna.studio, agreed=True)


@pytest.fixture
def stage(agreed) -> Stage:
    with hold_changes():
        panel = panel_of(surface_of(piece_of(agreed)), steps=ONE_COAT)
    return panel.stages.get()


def test_commissions_are_numbered_one_after_the_other_in_each_studio(anna, stranger):
    mine = [asked(anna.studio).number for _ in range(3)]
    hers = [asked(stranger.studio).number for _ in range(2)]
    assert (mine, hers) == ([1, 2, 3], [1, 2])


def test_a_form_refused_takes_no_number(at_desk, anna):
    client = keep_record(Client(studio=anna.studio, name="Clara"))
    for title in ("", "A chest", "", "A cupboard"):
        at_desk.post(reverse("commission-new"), {"client": client.pk, "title": title})
    numbers = Commission.objects.of(anna.studio).values_list("number", "title")
    assert sorted(numbers) == [(1, "A chest"), (2, "A cupboard")]


def test_a_change_keeps_the_number(anna):
    commission = asked(anna.studio)
    asked(anna.studio)
    commission.title = "A wardrobe"
    assert open_commission(commission, seen_version=commission.version).number == 1


def test_the_first_enquiry_asks_for_a_client_first(at_desk):
    first = at_desk.get(reverse("commission-new")).url
    assert first == reverse("client-new") + "?enquiry"
    after = at_desk.post(first, {"name": "Clara"}).url
    assert after == f"{reverse('commission-new')}?client={Client.objects.get().pk}"


@pytest.mark.parametrize("asked_for", ["9" * 5000, "-1", "x", "999999"])
def test_an_enquiry_for_a_client_that_is_not_there_is_no_error(asked_for, at_desk, anna):
    asked(anna.studio)
    response = at_desk.get(reverse("commission-new"), {"client": asked_for})
    assert response.status_code in (200, 404)


@pytest.mark.parametrize(
    ("wanted", "says"),
    [
        ("2001-05-01", "past"),
        ("0001-01-01", "year"),
        ("9999-12-31", "year"),
        ("soon", "2027-03-14"),
        ("2027-02-30", "2027-03-14"),
    ],
)
def test_a_wanted_day_that_cannot_be_is_refused_in_words(wanted, says, at_desk, anna):
    client = keep_record(Client(studio=anna.studio, name="Clara"))
    data = {"client": client.pk, "title": "A chest", "wanted": wanted}
    response = at_desk.post(reverse("commission-new"), data)
    assert response.status_code == 422
    (sentence,) = response.context["form"].errors["wanted"]
    assert says in sentence
    assert 'value="A chest"' in response.content.decode()


def test_a_wanted_day_that_has_passed_meanwhile_does_not_stop_other_changes(at_desk, anna):
    commission = asked(anna.studio)
    past = timezone.localdate() - timedelta(days=3)
    Commission.objects.filter(pk=commission.pk).update(wanted=past)
    data = {"client": commission.client_id, "title": "A wardrobe", "wanted": past.isoformat()}
    path = reverse("commission-edit", args=[commission.number])
    assert at_desk.post(path, data).status_code == 302
    commission.refresh_from_db()
    assert (commission.title, commission.wanted) == ("A wardrobe", past)


def test_how_much_its_date_matters_is_chosen_and_told_and_is_as_usual_where_nothing_is_said(
    at_desk, anna
):
    client = keep_record(Client(studio=anna.studio, name="Clara"))
    data = {"client": client.pk, "title": "A chest", "wanted": "2031-05-01"}
    at_desk.post(reverse("commission-new"), data)
    commission = Commission.objects.get()
    assert commission.weight == Commission.Weight.USUAL
    path = reverse("commission-edit", args=[commission.number])
    data["seen_version"] = commission.version
    assert at_desk.post(path, {**data, "weight": 3}).status_code == 422
    assert at_desk.post(path, {**data, "weight": 4}).status_code == 302
    commission.refresh_from_db()
    assert commission.weight == Commission.Weight.MOST
    page = at_desk.get(reverse("commission", args=[commission.number])).content.decode()
    assert "Its date matters" in page
    assert "most of all" in page


def test_an_enquiry_is_declined_and_taken_up_again(at_desk, anna):
    commission = asked(anna.studio)
    at_desk.post(reverse("commission-decline", args=[commission.number]))
    assert state_of(commission) == State.DECLINED
    at_desk.post(reverse("commission-reopen", args=[commission.number]))
    assert state_of(commission) == State.ENQUIRY


def test_agreed_work_is_not_taken_up_again(agreed):
    with pytest.raises(Refused, match="Only a declined"):
        reopen_commission(agreed)
    assert state_of(agreed) == State.ACCEPTED


def test_the_state_follows_the_work(agreed, stage, anna):
    assert state_of(agreed) == State.ACCEPTED
    sitting = painted(stage, by=anna, end=MONDAY)
    assert state_of(agreed) == State.DRYING_OUT
    remove_sitting(sitting)
    assert state_of(agreed) == State.ACCEPTED


def test_a_stage_begun_puts_the_commission_under_way(agreed, anna):
    panel = panel_of(surface_of(piece_of(agreed)))
    painted(panel.stages.first(), by=anna, end=MONDAY)
    assert state_of(agreed) == State.UNDER_WAY


def test_a_stage_added_while_it_dries_out_is_work_to_do_again(agreed, stage, anna):
    painted(stage, by=anna, end=MONDAY)
    extra = keep_step(Stage(panel=stage.panel, kind="varnish", binder="acrylic-varnish"))
    assert state_of(agreed) == State.UNDER_WAY
    with pytest.raises(Refused, match="still work to do"):
        hand_over(agreed, at=MONDAY)
    remove_record(extra)
    assert state_of(agreed) == State.DRYING_OUT


def test_it_is_handed_over_when_all_is_painted(at_desk, agreed, stage, anna):
    path = reverse("commission-hand-over", args=[agreed.number])
    at_desk.post(path)
    assert state_of(agreed) == State.ACCEPTED
    painted(stage, by=anna, end=MONDAY)
    at_desk.post(path)
    assert state_of(agreed) == State.DELIVERED
    assert agreed.delivered_at


def test_a_commission_with_work_logged_on_it_is_kept_and_says_where(at_desk, agreed, stage, anna):
    painted(stage, by=anna, end=MONDAY)
    response = at_desk.post(reverse("commission-remove", args=[agreed.number]))
    assert response.status_code == 422
    assert "Work is logged on ‘Plait’" in response.content.decode()
    assert Stage.objects.filter(pk=stage.pk).exists()


def test_a_commission_with_an_estimate_sent_is_kept(record):
    with pytest.raises(Refused, match="An estimate was issued"):
        remove_record(record.commission)


def test_an_enquiry_without_work_is_removed_with_all_its_furniture(at_desk, agreed, stage):
    path = reverse("commission-remove", args=[agreed.number])
    assert at_desk.post(path).url == reverse("commissions")
    assert not Stage.objects.exists()
    assert Client.objects.count() == 1


@pytest.mark.parametrize("thing", ["piece", "surface", "panel", "stage"])
def test_what_work_is_logged_on_is_not_removed(thing, at_desk, record):
    kept = getattr(record, thing)
    response = at_desk.post(reverse(f"{thing}-remove", args=[kept.pk]))
    assert response.status_code == 422
    assert "Work is logged on" in response.content.decode()
    assert type(kept).objects.filter(pk=kept.pk).exists()


@pytest.mark.parametrize(
    ("year", "right"), [("1400", True), ("1399", False), ("2999", False), ("10000000000", False)]
)
def test_the_year_a_piece_was_made_is_a_year(year, right, at_desk, agreed):
    data = {
        "name": "Chest", "material": "tannin-rich", "finish": "unknown", "use": "everyday",
        "made_in": year,
    }  # fmt: skip
    response = at_desk.post(reverse("piece-new", args=[agreed.number]), data)
    assert response.status_code == (302 if right else 422)
    assert agreed.pieces.count() == right
