"""What if: one question tried on a copy, answered in days and money, kept or thrown away."""

import re
from datetime import UTC, date, datetime, time, timedelta
from uuid import uuid4

import pytest
from django.apps import apps
from django.contrib.sessions.models import Session
from django.urls import reverse
from django.utils.html import escape

from jobs.domain.grounds import ground_colours as grounds_of
from jobs.domain.guesses import Guess
from jobs.labour.stages import MOST_COATS
from jobs.models import Client, Commission, Panel, Stage
from quotes.domain.pricing import price_commission
from quotes.domain.questions import AnotherPerson, OneMore, OtherGround, Overtime, WarmerRoom
from quotes.domain.what_if import Answer, answer
from quotes.forms.what_if import key_of
from schedule.domain.programme import plan_studio
from schedule.models import PlannedFinish, Reminder
from studio.domain.records import keep_record
from studio.formats import show_date
from studio.models import DatedHours, DayOff, Once, Person, Studio
from studio.refusal import Refused
from studio.signals import hold_changes
from tests.cast import agreed_panel, asked, painted, panel_of, piece_of, surface_of

DAY = timedelta(days=1)
MONDAY = date(2026, 11, 2)
UMBER = "#5b4636"
QUESTIONS = ("commission", "ground", "person", "room", "overtime")


@pytest.fixture
def studio(anna, clock) -> Studio:
    """Two agreed commissions, the first wanted sooner than it can be."""
    with hold_changes():
        for name, wanted in (("Plait", 12), ("Finch", 60)):
            panel = agreed_panel(anna.studio, name, width=6000, height=5000)
            panel.commission.wanted = MONDAY + wanted * DAY
            keep_record(panel.commission)
    return Studio.objects.get(pk=anna.studio_id)


@pytest.fixture
def panel(studio) -> Panel:
    """The panel of the first commission; umber lies among the grounds of the studio."""
    with hold_changes():
        other = asked(studio, "Another chest")
        surface = surface_of(piece_of(other))
        panel_of(surface, "Wreath", ground_name="Umber", ground_colour=UMBER)
    return Panel.objects.for_bench().get(name="Plait")


@pytest.fixture
def enquiry(studio) -> Commission:
    commission = asked(studio, "A box asked for")
    panel_of(surface_of(piece_of(commission)), "Wren")
    return commission


@pytest.fixture
def sheet(studio):
    return studio.sheets.filter(stages__isnull=False).first()


@pytest.fixture
def rough(sheet) -> dict[str, str]:
    return {"sheet": str(sheet.pk), "panels": "3", "width": "30", "height": "40"}


def typed(key: str, **more) -> dict[str, str]:
    """Return a good question as the form sends it."""
    good = {
        "commission": {"enquiry": "", "wanted": ""},
        "ground": {},
        "person": {"first": "2026-11-02", "last": "2026-11-06", "rate": "20"},
        "room": {"temperature": "24"},
        "overtime": {
            "first": "2026-11-02", "last": "2026-11-06", "start": "18:00", "end": "20:00",
            "rate": "30",
        },
    }  # fmt: skip
    return {"ask": key, **good[key], **more}


def page(at_desk, data: dict, *, name: str = "what-if", status: int = 200, **more) -> str:
    response = at_desk.get(reverse(name), data, **more)
    assert response.status_code == status
    return " ".join(response.content.decode().split())


def answered(at_desk, data: dict) -> str:
    return page(at_desk, data, name="what-if-answer")


def keep(at_desk, data: dict, **more):
    sent = {"once": str(uuid4()), **{name: data[name] for name in data if name != "ask"}}
    return at_desk.post(f"{reverse('what-if')}?ask={data['ask']}", {**sent, **more})


def everything(folder) -> tuple[dict, list]:
    """Return all rows of all tables but who is signed in, and the photographs kept."""
    rows = {
        one._meta.label: list(one.objects.order_by("pk").values())
        for one in apps.get_models()
        if one is not Session
    }
    return rows, sorted(folder.rglob("*"))


def told(question, studio, clock) -> Answer:
    return answer(question, studio, now=clock.now)


def ready(effect) -> tuple[date, date]:
    return effect.before.ready, effect.after.ready


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


def question_of(key: str, panel: Panel, enquiry: Commission):
    umber = next(one for one in grounds_of(panel) if one.colour == UMBER)
    return {
        "commission": OneMore(enquiry),
        "ground": OtherGround(panel, umber),
        "person": AnotherPerson(MONDAY, MONDAY + 4 * DAY, 2000),
        "room": WarmerRoom(26),
        "overtime": Overtime(MONDAY, MONDAY + 11 * DAY, time(18), time(20), 3000),
    }[key]


class TestNothingStays:
    @pytest.mark.parametrize("key", QUESTIONS)
    def test_a_question_leaves_no_row_no_file_and_no_word(
        self, key, at_desk, studio, panel, enquiry, clock, tmp_path, mailoutbox
    ):
        plan_studio(studio, now=clock.now)
        feed = reverse("feed", args=[studio.feed_secret])
        before, shown = everything(tmp_path), at_desk.get(feed).content
        told(question_of(key, panel, enquiry), studio, clock)
        assert everything(tmp_path) == before
        assert at_desk.get(feed).content == shown
        assert (Reminder.objects.count(), mailoutbox) == (0, [])

    def test_a_rough_size_without_an_enquiry_leaves_no_client(self, studio, sheet, clock, tmp_path):
        before = everything(tmp_path)
        told(OneMore(None, Guess(sheet, 3, 3000, 4000)), studio, clock)
        assert everything(tmp_path) == before

    def test_what_was_asked_does_not_change_what_is_held_in_hand(self, studio, clock):
        told(WarmerRoom(26), studio, clock)
        assert studio.room_temperature == 19

    def test_a_question_refused_halfway_leaves_nothing(
        self, studio, panel, enquiry, clock, tmp_path
    ):
        Stage.objects.filter(panel=panel, kind="ground-colour").update(coats=MOST_COATS)
        ground_laid(panel, studio)
        before = everything(tmp_path)
        question = question_of("ground", Panel.objects.for_bench().get(pk=panel.pk), enquiry)
        with pytest.raises(Refused, match="too many for one stage"):
            told(question, studio, clock)
        assert everything(tmp_path) == before


def ground_laid(panel: Panel, studio: Studio) -> None:
    """Lay a black ground on the panel in September."""
    Panel.objects.filter(pk=panel.pk).update(ground_name="Black", ground_colour="#101010")
    person = studio.people.get()
    end = datetime(2026, 9, 1, 9, tzinfo=UTC)
    for stage in Panel.objects.get(pk=panel.pk).stages.filter(kind__in=("prime", "ground-colour")):
        for _ in range(stage.coats):
            end += 2 * DAY
            painted(stage, by=person, end=end)


class TestAnswers:
    def test_a_warmer_room_is_ready_sooner_and_a_colder_later(self, studio, clock):
        warm, cold = (told(WarmerRoom(degrees), studio, clock) for degrees in (30, 8))
        assert warm.saved > 0 > cold.saved
        assert warm.cost.amount is None

    def test_one_more_commission_stands_among_the_others_with_its_price(
        self, studio, enquiry, clock
    ):
        found = told(OneMore(enquiry), studio, clock)
        (new,) = (effect for effect in found.effects if effect.before is None)
        assert (new.commission, len(found.effects)) == (enquiry, 3)
        assert found.cost.amount == price_commission(enquiry).costing.net > 0
        assert found.cost.earned

    def test_a_rough_size_of_nobody_is_planned_and_priced_too(self, studio, sheet, clock):
        few, many = (
            told(OneMore(None, Guess(sheet, panels, 6000, 5000)), studio, clock)
            for panels in (1, 6)
        )
        assert 0 < few.cost.amount < many.cost.amount
        new = [next(e for e in one.effects if e.before is None).after for one in (few, many)]
        assert new[0].likely < new[1].likely

    def test_another_ground_costs_its_coats_and_their_drying(self, studio, panel, enquiry, clock):
        ground_laid(panel, studio)
        fresh = Panel.objects.for_bench().get(pk=panel.pk)
        linen = next(one for one in grounds_of(fresh) if one.colour == "#d9cdb9")
        question = OtherGround(fresh, linen)
        late, _ = question.reckoned(fresh)
        found = told(question, studio, clock)
        assert found.cost.amount == late.money > 0
        mine = next(one for one in found.effects if one.commission == fresh.commission)
        before, after = ready(mine)
        assert after > before

    def test_another_person_is_paid_for_what_she_is_planned_to_do(self, studio, clock):
        with hold_changes():
            for name in ("Wren", "Jay", "Rook"):
                agreed_panel(studio, name, width=6000, height=5000)
        found, dearer = (
            told(AnotherPerson(MONDAY, MONDAY + 18 * DAY, rate), studio, clock)
            for rate in (2000, 4000)
        )
        assert found.saved > 0
        assert 0 < found.cost.amount < 19 * 8 * 2000
        assert dearer.cost.amount == 2 * found.cost.amount

    def test_whoever_leaves_early_leaves_no_day_unknown(self, studio, clock):
        found = told(AnotherPerson(MONDAY, MONDAY, 2000), studio, clock)
        assert all(effect.after.surely for effect in found.effects)

    def test_overtime_is_paid_by_the_hour_on_days_she_works(self, studio, clock):
        evenings = Overtime(MONDAY, MONDAY + 6 * DAY, time(18), time(20), 3000)
        worked = {row.weekday for row in studio.windows.all()}
        found = told(evenings, studio, clock)
        assert found.cost.amount == len(worked) * 2 * 3000
        assert found.saved >= 0

    def test_hours_she_works_anyway_cost_nothing(self, studio, clock):
        window = studio.windows.first()
        day = next(
            MONDAY + n * DAY for n in range(7) if (MONDAY + n * DAY).weekday() == window.weekday
        )
        found = told(Overtime(day, day, window.start, window.end, 3000), studio, clock)
        assert (found.cost.amount, found.moved) == (0, [])

    def test_days_off_are_left_out_of_overtime(self, studio):
        keep_record(DayOff(studio=studio, first=MONDAY, last=MONDAY + DAY))
        asked_for = Overtime(MONDAY, MONDAY + 6 * DAY, time(18), time(20), 0, every=True)
        assert asked_for.days(studio) == [MONDAY + n * DAY for n in range(2, 7)]

    def test_without_agreed_work_nothing_moves(self, anna, clock):
        found = told(WarmerRoom(26), anna.studio, clock)
        assert (found.effects, found.saved, found.troubles) == ((), 0, ())

    def test_who_turns_late_and_who_comes_in_time_is_told(self, studio, clock):
        first = Commission.objects.order_by("number").first()
        slow, quick = (told(WarmerRoom(degrees), studio, clock) for degrees in (8, 30))
        days = [next(e for e in one.effects if e.commission == first) for one in (slow, quick)]
        first.wanted = days[1].after.ready
        keep_record(first)
        assert told(WarmerRoom(30), studio, clock).in_time == [first]
        first.wanted = days[0].before.ready
        keep_record(first)
        assert told(WarmerRoom(8), studio, clock).late == [first]


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
        assert Studio.objects.get(pk=studio.pk).room_temperature == 24

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
        for _ in range(2):
            keep(at_desk, typed("overtime"), once=once)
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


class TestPages:
    def test_the_programme_and_the_enquiry_lead_to_it(self, at_desk, studio, enquiry):
        where = reverse("what-if")
        assert f'href="{where}"' in at_desk.get(reverse("programme")).content.decode()
        said = at_desk.get(reverse("earliest", args=[enquiry.number])).content.decode()
        link = f"{where}?ask=commission&amp;enquiry={enquiry.pk}"
        assert f'href="{link}"' in said
        opened = page(at_desk, {"ask": "commission", "enquiry": enquiry.pk})
        assert f'<option value="{enquiry.pk}" selected>' in opened

    def test_it_opens_with_its_questions(self, at_desk, studio):
        said = page(at_desk, {})
        for key in QUESTIONS:
            assert f"?ask={key}" in said
            opened = page(at_desk, {"ask": key})
            assert "field-error" not in opened
            assert 'aria-current="true"' in opened

    def test_an_unknown_question_asks_again(self, at_desk, studio):
        assert "Ask the programme one thing" in page(at_desk, {"ask": "the stars"})
        assert at_desk.get(reverse("what-if-answer"), {"ask": "stars"}).status_code == 302

    def test_a_good_question_shows_its_page_at_once_and_fetches_the_answer(self, at_desk, studio):
        said = page(at_desk, typed("room"))
        found = re.search(r'hx-get="([^"]+)" hx-trigger="load"', said)
        assert found.group(1).startswith(reverse("what-if-answer"))
        assert "Keep it" not in said

    def test_the_answer_is_a_fragment_in_its_page_and_a_page_by_itself(
        self, at_desk, studio, clock
    ):
        found = told(WarmerRoom(24), studio, clock)
        whole = answered(at_desk, typed("room"))
        part = page(at_desk, typed("room"), name="what-if-answer", headers={"HX-Request": "true"})
        assert "<html" in whole
        assert "<html" not in part
        for said in (whole, part):
            assert "Keep it" in said
            assert "Throw it away" in said
            for effect in found.moved:
                assert escape(effect.commission.title) in said
                assert effect.after.ready.strftime("%b") in said

    def test_the_question_travels_with_the_button_that_keeps_it(self, at_desk, studio):
        said = answered(at_desk, typed("overtime"))
        for name, value in typed("overtime").items():
            if name != "ask":
                assert re.search(rf'type="hidden" name="{name}" value="{value}', said), name

    def test_a_question_that_cannot_be_says_so_in_place_of_an_answer(self, at_desk, studio, panel):
        Stage.objects.filter(panel=panel, kind="ground-colour").update(coats=MOST_COATS)
        ground_laid(panel, studio)
        data = typed("ground", panel=str(panel.pk), ground="#d9cdb9 old linen")
        said = page(at_desk, data, name="what-if-answer", status=422)
        assert "too many for one stage" in said
        assert "Keep it" not in said

    def test_where_no_ground_may_change_there_is_nothing_to_choose(self, at_desk, anna):
        assert "No panel of agreed work" in page(at_desk, {"ask": "ground"})

    def test_a_day_that_moves_is_told_with_the_days_between(self, at_desk, studio, clock):
        effect = told(WarmerRoom(30), studio, clock).moved[0]
        said = answered(at_desk, typed("room", temperature="30"))
        assert f"{-effect.later} days earlier than" in said
        assert show_date(effect.commission.wanted, studio)[:2] in said


WRONG = [
    ("room", {"temperature": "4"}, "5 to 35 °C"),
    ("room", {"temperature": "36"}, "5 to 35 °C"),
    ("room", {"temperature": "19"}, "It is reckoned with 19 °C now."),
    ("room", {"temperature": "warm"}, "Type whole degrees"),
    ("person", {"last": "2026-11-01"}, "That day is over."),
    ("person", {"first": "2026-11-06", "last": "2026-11-05"}, "comes before the first"),
    ("person", {"first": "2026-11-07", "last": "2026-11-08"}, "no working hours in those days"),
    ("person", {"first": ""}, "This cannot stay empty."),
    ("person", {"last": "2027-11-05"}, "ask about 92 at most"),
    ("person", {"rate": "dear"}, "is not an amount"),
    ("overtime", {"start": "22:00", "end": "01:00"}, "before midnight"),
    ("overtime", {"start": "20:00", "end": "20:00"}, "before midnight"),
    ("overtime", {"first": "2026-11-08", "last": "2026-11-08"}, "You work on none of those days."),
    ("overtime", {"first": "2229-01-01"}, "Check the year."),
    ("overtime", {"rate": "-3"}, "cannot be negative"),
    ("commission", {"panels": "3"}, "Say it roughly"),
    ("commission", {"enquiry": "999999"}, "Choose one of your enquiries."),
    ("commission", {"wanted": "2026-10-01"}, "That day is over."),
    (
        "ground",
        {"panel": "999999", "ground": "#d9cdb9 old linen"},
        "Choose a panel of agreed work.",
    ),
    ("ground", {"ground": "#123456 Unknown"}, "Choose one of these grounds."),
    ("ground", {"ground": ""}, "This cannot stay empty."),
]


@pytest.mark.parametrize(("key", "wrong", "sentence"), WRONG)
def test_a_wrong_question_is_told_beside_its_field_and_kept(key, wrong, sentence, at_desk, panel):
    given = {"panel": str(panel.pk)} if key == "ground" else {}
    data = typed(key, **{**given, **wrong})
    said = page(at_desk, data, status=422)
    assert sentence in said
    assert 'aria-invalid="true"' in said
    for name, value in data.items():
        if name not in ("ask", "panel", "ground", "enquiry") and value:
            assert f'value="{escape(value)}"' in said, name
    assert at_desk.get(reverse("what-if-answer"), data).status_code == 302
    assert keep(at_desk, data).status_code == 422


def test_a_stranger_may_not_ask_about_our_records(client, stranger, panel, enquiry):
    client.force_login(stranger)
    for data in (
        typed("ground", panel=str(panel.pk), ground="#d9cdb9 old linen"),
        typed("commission", enquiry=str(enquiry.pk)),
    ):
        assert client.get(reverse("what-if"), data).status_code == 422
        assert keep(client, data).status_code == 422
