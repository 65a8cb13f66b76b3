"""What is kept of a question is what was told of it, made by the verbs of the pages."""

from datetime import date, time
from uuid import uuid4

import pytest
from django.urls import reverse

from jobs.labour.stages import MOST_COATS
from jobs.models import Client, Commission, Panel, Stage
from quotes.domain.questions import OtherGround
from quotes.domain.what_if import Answer
from quotes.forms.what_if import key_of
from schedule.domain.programme import plan_studio
from schedule.models import PlannedFinish
from studio.models import DatedHours, Once, Person, Studio
from tests.cast import asked
from tests.quotes.what_if.questions_asked import (
    DAY,
    MONDAY,
    UMBER,
    ground_laid,
    grounds_of,
    keep,
    question_of,
    told,
    typed,
)


def programme_days(studio) -> dict[str, date]:
    """Return when each commission is ready by the stored programme."""
    return {
        row.commission.title + str(row.commission.number): row.finish.astimezone(studio.zone).date()
        for row in PlannedFinish.objects.filter(studio=studio).select_related("commission")
    }


def answer_days(found: Answer) -> dict[str, date]:
    return {
        effect.commission.title + str(effect.commission.number): effect.after.ready
        for effect in found.effects
    }


class TestKeeping:
    @pytest.mark.parametrize("key", ["ground", "room", "overtime"])
    def test_what_is_kept_comes_out_as_it_was_told(
        self, key, at_desk, studio, panel, enquiry, clock
    ):
        plan_studio(studio, now=clock.now)
        question = question_of(key, panel, enquiry)
        found = told(question, studio, clock)
        data = {
            "ground": typed("ground", panel=str(panel.pk), ground=f"{UMBER} Umber"),
            "room": typed("room", temperature="26"),
            "overtime": typed("overtime", last="2026-11-13"),
        }[key]
        response = keep(at_desk, data)
        assert response.status_code == 302
        assert programme_days(studio) == answer_days(found)
        assert "It is kept" in at_desk.get(response.url).content.decode()

    def test_the_room_is_as_warm_as_was_asked(self, at_desk, studio):
        assert keep(at_desk, typed("room")).url == reverse("business")
        fresh = Studio.objects.get(pk=studio.pk)
        assert fresh.room_temperature == 24
        # What dried before it was asked for did so in the old room.
        assert [room["room_temperature"] for room in fresh.past_rooms] == [19]

    def test_the_ground_and_its_coats_are_on_the_panel(self, at_desk, studio, panel):
        ground_laid(panel, studio)
        fresh = Panel.objects.for_bench().get(pk=panel.pk)
        linen = next(one for one in grounds_of(fresh) if one.colour == "#d9cdb9")
        late, _ = OtherGround(fresh, linen).reckoned(fresh)
        coats = fresh.stages.get(kind="ground-colour").coats
        response = keep(at_desk, typed("ground", panel=str(panel.pk), ground=key_of(linen)))
        assert response.url == reverse("panel", args=[panel.pk])
        kept = Panel.objects.get(pk=panel.pk)
        assert (kept.ground_name, kept.ground_colour) == (linen.name, linen.colour)
        assert kept.stages.get(kind="ground-colour").coats == coats + late.extra > coats

    def test_overtime_is_written_into_her_hours_once(self, at_desk, studio):
        once = str(uuid4())
        for token in (once, once, str(uuid4())):
            keep(at_desk, typed("overtime"), once=token)
        rows = DatedHours.objects.filter(studio=studio, kind="extra").values_list("day", "start")
        assert [day for day, _ in rows] == [MONDAY + n * DAY for n in range(5)]
        assert {start for _, start in rows} == {time(18)}

    def test_a_person_is_written_down_on_her_own_form_with_her_days(self, at_desk, studio):
        response = keep(at_desk, typed("person"))
        assert response.url.startswith(reverse("person-new"))
        form = at_desk.get(response.url).content.decode()
        assert 'value="2026-11-02"' in form
        assert 'value="2026-11-06"' in form
        assert Person.objects.filter(studio=studio).count() == 1

    def test_nonsense_in_the_address_of_a_new_person_is_left_out(self, at_desk):
        where = f"{reverse('person-new')}?paints_from=soon&paints_until="
        assert at_desk.get(where).status_code == 200

    def test_an_enquiry_goes_on_to_be_priced_and_stays_an_enquiry(self, at_desk, enquiry):
        response = keep(at_desk, typed("commission", enquiry=str(enquiry.pk)))
        assert response.url == reverse("estimate", args=[enquiry.number])
        enquiry.refresh_from_db()
        assert enquiry.state == Commission.State.ENQUIRY

    def test_a_rough_size_is_written_into_its_enquiry(self, at_desk, studio, rough):
        bare = asked(studio, "Nothing measured")
        response = keep(at_desk, typed("commission", enquiry=str(bare.pk), **rough))
        assert response.url == reverse("commission", args=[bare.number])
        panels = Panel.objects.filter(surface__piece__commission=bare)
        assert panels.count() == 3
        assert all(one.stages.exists() for one in panels)

    def test_a_rough_size_of_nobody_leads_to_the_form_of_an_enquiry(self, at_desk, studio, rough):
        clients = Client.objects.count()
        response = keep(at_desk, typed("commission", **rough))
        assert response.url == reverse("commission-new")
        assert Client.objects.count() == clients

    def test_a_wrong_question_is_not_kept(self, at_desk, studio):
        response = keep(at_desk, typed("room", temperature="99"))
        assert response.status_code == 422
        assert 'value="99"' in response.content.decode()
        assert (Studio.objects.get(pk=studio.pk).room_temperature, Once.objects.count()) == (19, 0)

    def test_what_can_no_longer_be_done_is_told_beside_its_field(self, at_desk, studio, panel):
        Stage.objects.filter(panel=panel, kind="ground-colour").update(coats=MOST_COATS)
        ground_laid(panel, studio)
        response = keep(at_desk, typed("ground", panel=str(panel.pk), ground="#d9cdb9 old linen"))
        assert response.status_code == 422
        assert "too many for one stage" in response.content.decode()
