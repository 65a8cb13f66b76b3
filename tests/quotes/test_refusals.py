"""An estimate over what the layering rules refuse: only with a reason, kept in the log alone."""

import json
from io import BytesIO, StringIO
from uuid import uuid4

import pdfplumber
import pytest
from django.core.management import call_command
from django.urls import reverse
from django.utils.html import escape

from jobs.domain.layering import standing_refusals
from jobs.models import Commission, Overruling, Panel, Piece, Stage
from quotes.domain.estimates import AllTheSame, accept_estimate, issue_estimate
from quotes.domain.pricing import price_commission
from quotes.models import Estimate
from quotes.papers import draft_estimate
from studio.models import Studio
from studio.refusal import Refused
from tests.cast import asked, panel_of, piece_of, surface_of

REASON = "Tried on a sample board for six weeks"


@pytest.fixture
def commission(clock, anna) -> Commission:
    """A commission with oil on acrylic that is not waited for, on one of two panels."""
    commission = asked(anna.studio)
    surface = surface_of(piece_of(commission))
    panel_of(surface)
    rash = panel_of(surface, "Border", left=5000)
    rash.stages.filter(kind="ground-colour").update(gate="recoat")
    return commission


def fresh(commission: Commission) -> Commission:
    return Commission.objects.select_related("studio", "client").get(pk=commission.pk)


def press(browser, commission: Commission, reason: str | None = REASON, **more):
    """Press ‘Issue’ as on the page, with what it carries."""
    page = browser.get(reverse("estimate", args=[commission.number])).context
    data = {
        "seen_total": page["costing"].total,
        "seen_refusal": [one.key for one in page["refusals"]],
        "once": uuid4(),
        **({} if reason is None else {"reason": reason}),
        **more,
    }
    return browser.post(reverse("estimate-issue", args=[commission.number]), data)


def test_the_page_names_panel_stage_why_and_mend_and_asks_once(at_desk, commission):
    page = at_desk.get(reverse("estimate", args=[commission.number])).content.decode()
    (one,) = standing_refusals(commission)
    for words in ("Lid: Border", "First oil", one.finding.why, one.finding.mend):
        assert escape(words) in page
    assert page.count('name="reason"') == 1
    assert f'name="seen_refusal" value="{one.key}"' in page


def test_one_cold_room_is_one_notice_over_all_panels(at_desk, commission):
    Studio.objects.update(room_temperature=4)
    page = at_desk.get(reverse("estimate", args=[commission.number]))
    rules = [one.finding.rule for one in page.context["refusals"]]
    assert rules.count("too-cold") == 6
    assert len(page.context["notices"]) == len(set(rules))
    words = page.content.decode()
    assert words.count("Warm the room to 10 °C or more.") == 1
    cold = next(one for one in page.context["notices"] if "Warm" in one.mend)
    assert {panel.name for line in cold.lines for panel in line.panels} == {"Plait", "Border"}
    assert words.count('name="seen_refusal"') == len(rules), "each is still answered for"


@pytest.mark.parametrize("reason", [None, "", "  \n ", "x" * 301])
def test_without_a_reason_it_is_refused_beside_the_field_and_all_typed_stays(
    reason, at_desk, commission
):
    answer = press(at_desk, commission, reason)
    assert answer.status_code == 422
    assert list(answer.context["form"].errors) == ["reason"]
    assert answer.context["form"]["reason"].value() == reason
    assert 'id="id_reason_error"' in answer.content.decode()
    assert not Estimate.objects.exists()
    assert not Overruling.objects.exists()


def test_with_a_reason_it_is_issued_and_the_reason_is_in_the_log(at_desk, commission, anna, clock):
    assert press(at_desk, commission).status_code == 302
    assert Estimate.objects.count() == 1
    row = Overruling.objects.get()
    assert (row.stage.kind, row.rule) == ("first-oil", "oil-over-fresh-water")
    assert (row.reason, row.by, row.at) == (REASON, anna, clock.now)
    log = at_desk.get(reverse("panel", args=[row.stage.panel_id])).context["story"].log
    assert log == (row,)


def test_one_reason_stands_for_all_refusals_on_all_panels(at_desk, commission):
    Stage.objects.filter(kind="ground-colour").update(gate="recoat")
    Piece.objects.update(finish="waxed")
    press(at_desk, commission)
    assert Overruling.objects.count() == 4
    assert set(Overruling.objects.values_list("reason", flat=True)) == {REASON}
    assert Overruling.objects.values("panel").distinct().count() == 2


def test_the_reason_is_printed_nowhere(at_desk, commission):
    press(at_desk, commission)
    estimate = Estimate.objects.get()
    with pdfplumber.open(BytesIO(bytes(estimate.pdf))) as paper:
        printed = [page.extract_text() for page in paper.pages]
    printed += [f"{line.text} {line.reason}" for line in estimate.lines.all()]
    out = StringIO()
    call_command("estimate", str(commission.number), "--json", stdout=out)
    printed.append(json.dumps(json.loads(out.getvalue()), ensure_ascii=False))
    for path in ("estimate", "commission"):
        printed.append(at_desk.get(reverse(path, args=[commission.number])).content.decode())
    printed.append(
        at_desk.get(reverse("estimate-issued", args=[commission.number, 1])).content.decode()
    )
    for text in printed:
        assert "sample" not in " ".join(text.split())
        assert "seal in the water" not in " ".join(text.split())


def test_a_later_issue_does_not_ask_again_for_the_same_stage_and_rule(at_desk, commission):
    press(at_desk, commission)
    assert press(at_desk, commission, None).status_code == 302
    assert (Estimate.objects.count(), Overruling.objects.count()) == (2, 1)


def test_a_later_issue_asks_for_what_is_refused_since(at_desk, commission):
    press(at_desk, commission)
    Stage.objects.filter(kind="ground-colour").update(gate="recoat")
    assert press(at_desk, commission, None).status_code == 422
    assert press(at_desk, commission, "The client wants it so").status_code == 302
    assert Overruling.objects.count() == 2


def test_a_caution_does_not_stand_in_the_way(at_desk, commission):
    Stage.objects.filter(kind="ground-colour").update(gate="through-dry")
    Piece.objects.update(finish="unknown")
    page = at_desk.get(reverse("estimate", args=[commission.number]))
    assert page.context["refusals"] == []
    assert 'name="reason"' not in page.content.decode()
    assert press(at_desk, commission, None).status_code == 302
    assert Estimate.objects.exists()


def test_accepting_asks_nothing_more(at_desk, commission, clock):
    press(at_desk, commission)
    assert accept_estimate(Estimate.objects.get(), at=clock.now).in_hand


class TestAcceptedOverARefusal:
    """The room was warm when the estimate went out, and is cold when the client says yes."""

    @pytest.fixture
    def cold(self, at_desk, commission, anna) -> Commission:
        press(at_desk, commission)
        anna.studio.room_temperature = 4
        anna.studio.save()
        assert standing_refusals(fresh(commission))
        return fresh(commission)

    @staticmethod
    def say_yes(browser, commission, **data):
        data = {"issue": 1, **data}
        return browser.post(reverse("commission-accept", args=[commission.number]), data)

    def test_it_is_asked_for_and_goes_into_the_log(self, at_desk, cold, anna):
        page = at_desk.get(reverse("estimate", args=[cold.number]))
        assert page.content.decode().count('name="reason"') == 2
        answer = self.say_yes(at_desk, cold)
        assert answer.status_code == 422
        assert list(answer.context["accept_form"].errors) == ["reason"]
        assert not answer.context["form"].errors
        assert not fresh(cold).in_hand
        seen = [one.key for one in page.context["refusals"]]
        answer = self.say_yes(at_desk, cold, reason="Heated by then", seen_refusal=seen)
        assert answer.status_code == 302
        assert fresh(cold).in_hand
        rows = Overruling.objects.filter(reason="Heated by then", by=anna)
        assert rows.count() == len(seen)
        assert self.say_yes(at_desk, cold).status_code == 302

    def test_what_she_did_not_see_is_not_overruled(self, at_desk, cold):
        answer = self.say_yes(at_desk, cold, reason="Heated by then", seen_refusal=[])
        assert answer.status_code == 422
        assert answer.context["accept_form"]["reason"].value() == "Heated by then"
        assert "more than you saw" in answer.content.decode()
        assert not fresh(cold).in_hand

    def test_the_verb_itself_says_no(self, cold, clock):
        with pytest.raises(Refused) as refusal:
            accept_estimate(Estimate.objects.get(), at=clock.now)
        assert refusal.value.field == "reason"


def test_a_double_click_overrules_once(at_desk, commission):
    once, seen = uuid4(), [one.key for one in standing_refusals(commission)]
    total = price_commission(fresh(commission)).costing.total
    for _ in range(2):
        press(at_desk, commission, once=once, seen_refusal=seen, seen_total=total)
    assert (Estimate.objects.count(), Overruling.objects.count()) == (1, 1)


def test_a_price_that_moved_on_keeps_the_reason_typed_and_writes_nothing(at_desk, commission):
    answer = press(at_desk, commission, seen_total=1)
    assert answer.status_code == 422
    assert answer.context["form"]["reason"].value() == REASON
    assert "has changed since you opened" in answer.content.decode()
    assert not Overruling.objects.exists()
    again = press(at_desk, commission)
    assert again.status_code == 302


def test_a_refusal_she_did_not_see_is_not_overruled(at_desk, commission):
    answer = press(at_desk, commission, seen_refusal=["1:other-rule"])
    assert list(answer.context["form"].errors) == ["reason"]
    assert "more than you saw" in answer.content.decode()
    assert not Estimate.objects.exists()


def test_the_verb_itself_says_no_whoever_calls_it(commission, anna, clock):
    draft = draft_estimate(fresh(commission), now=clock.now)
    total = draft.pricing.costing.total
    with pytest.raises(Refused) as refusal:
        issue_estimate(draft, at=clock.now, seen_total=total)
    assert refusal.value.field == "reason"
    seen = [one.key for one in standing_refusals(commission)]
    blank = AllTheSame(" ", anna, seen)
    with pytest.raises(Refused, match="Say why"):
        issue_estimate(draft, at=clock.now, seen_total=total, all_the_same=blank)
    assert not Estimate.objects.exists()


def test_what_fails_after_the_reason_leaves_no_reason_behind(commission, anna, clock, monkeypatch):
    draft = draft_estimate(fresh(commission), now=clock.now)
    seen = [one.key for one in standing_refusals(commission)]

    def broken(*args) -> None:
        raise RuntimeError("a fault while the lines are written")

    monkeypatch.setattr("quotes.domain.estimates._write_lines", broken)
    with pytest.raises(RuntimeError):
        issue_estimate(
            draft,
            at=clock.now,
            seen_total=draft.pricing.costing.total,
            all_the_same=AllTheSame(REASON, anna, seen),
        )
    assert not Overruling.objects.exists()


def test_a_mirrored_panel_is_asked_for_anew(at_desk, commission):
    press(at_desk, commission)
    border = Panel.objects.get(name="Border")
    data = {"name": "Border, mirrored", "surface": border.surface_id}
    assert at_desk.post(reverse("panel-mirror", args=[border.pk]), data).status_code == 302
    assert [one.stage.panel.name for one in standing_refusals(commission)] == ["Border, mirrored"]


def test_the_address_of_issuing_leads_back_to_the_estimate(at_desk, commission):
    answer = at_desk.get(reverse("estimate-issue", args=[commission.number]))
    assert answer.url == reverse("estimate", args=[commission.number])
    assert not Estimate.objects.exists()
