"""The bench: what is ready, drying and next, and what one tap does."""

from datetime import date, timedelta

import pytest
from django.db import connection
from django.db.models import F
from django.test.utils import CaptureQueriesContext
from django.urls import reverse
from django.utils.html import escape

from jobs.domain.gates import show_gate
from jobs.domain.layering import overrule, standing_refusals
from jobs.models import Panel, Piece, Sitting, Stage, TouchTest
from quotes.domain.estimates import issue_estimate
from quotes.papers import draft_estimate
from schedule.domain.bench import Bench, bench_of
from schedule.domain.programme import fresh_programme, planned_gates
from schedule.models import PlannedSitting, Reminder
from tests.cast import agreed_panel, asked, painted, panel_of, piece_of, surface_of

MINUTE, HOUR = timedelta(minutes=1), timedelta(hours=1)
TOKEN = "1f4d3f0e-6f0e-4e5a-9a53-7b7f5c0f9d11"


@pytest.fixture
def panel(clock, anna):
    return agreed_panel(anna.studio)


@pytest.fixture
def gesso(panel) -> Stage:
    return panel.stages.first()


def seen(anna, clock) -> Bench:
    fresh_programme(anna.studio, now=clock.now)
    return bench_of(anna.studio, now=clock.now)


def names(rows) -> list[str]:
    return [row.panel.name for row in rows]


def tap_start(browser, stage, **data):
    return browser.post(reverse("sitting-start", args=[stage.pk]), data)


def tap_stop(browser, sitting, **data):
    return browser.post(reverse("sitting-stop", args=[sitting.pk]), data)


def tap_touch(browser, stage, result, **data):
    data = {"coat": 1, "result": result, **data}
    return browser.post(reverse("touch-test", args=[stage.pk]), data)


def wax(panel) -> None:
    Piece.objects.filter(surfaces__panels=panel).update(material="softwood", finish="waxed")


class TestWhatIsRefused:
    def test_a_panel_over_wax_says_on_its_card_why_the_rules_refuse_it(
        self, panel, at_desk, anna, clock
    ):
        wax(panel)
        (row,) = seen(anna, clock).ready
        assert "water-on-wax" in [one.rule for one in row.refused]
        page = at_desk.get(reverse("bench")).content.decode()
        for one in row.refused:
            assert escape(one.why) in page
            assert escape(one.mend) in page

    def test_the_programme_says_it_beside_the_stage_alone(self, panel, at_desk, gesso):
        word = "the layering rules refuse it"
        assert word not in at_desk.get(reverse("programme")).content.decode()
        wax(panel)
        page = at_desk.get(reverse("programme"))
        refused = {row.stage_id for row, _, refused in page.context["agenda"] if refused}
        assert refused == {gesso.pk}
        assert word in page.content.decode()

    def test_what_was_overruled_is_not_said_again(self, panel, gesso, anna, clock):
        wax(panel)
        overrule(standing_refusals(panel.commission), reason="A trial piece", by=anna, at=clock.now)
        (row,) = seen(anna, clock).ready
        assert row.refused == ()

    def test_a_sound_panel_says_nothing(self, panel, at_desk, anna, clock):
        (row,) = seen(anna, clock).ready
        assert row.refused == ()
        assert "notice refused" not in at_desk.get(reverse("bench")).content.decode()


class TestWhatIsSeen:
    def test_a_new_panel_is_ready_with_its_first_coat(self, panel, anna, clock):
        bench = seen(anna, clock)
        (row,) = bench.ready
        assert (row.title, row.coat) == ("Prime, coat 1 of 2", 1)
        assert row.minutes > 0
        assert row.planned.start == clock.now
        assert (bench.drying, bench.running) == ((), ())
        assert [item.stage.panel_id for item in bench.next][:1] == [panel.pk]

    def test_a_panel_being_painted_is_under_the_brush_only(self, at_desk, gesso, anna, clock):
        tap_start(at_desk, gesso)
        bench = seen(anna, clock)
        ((sitting, row),) = bench.running
        assert (sitting.person, row.panel) == (anna, gesso.panel)
        assert (bench.ready, bench.drying) == ((), ())

    def test_a_finished_coat_dries_and_then_its_panel_is_ready(self, gesso, anna, clock):
        painted(gesso, by=anna, end=clock.now)
        (row,) = seen(anna, clock).drying
        assert row.gate.since < row.gate.likely < row.gate.opens < row.gate.surely
        clock.now = row.gate.opens - MINUTE
        assert names(seen(anna, clock).drying) == ["Plait"]
        clock.now = row.gate.opens
        bench = seen(anna, clock)
        assert (names(bench.ready), bench.drying) == (["Plait"], ())

    def test_what_dries_first_stands_first(self, panel, anna, clock):
        finch = panel_of(panel.surface, "Finch", left=2000)
        painted(finch.stages.first(), by=anna, end=clock.now - HOUR / 2)
        painted(panel.stages.first(), by=anna, end=clock.now)
        assert names(seen(anna, clock).drying) == ["Finch", "Plait"]

    def test_the_ready_stand_in_the_order_the_programme_takes_them_up(self, panel, anna, clock):
        door = panel_of(surface_of(piece_of(asked(anna.studio, agreed=True))), "Door")
        starts = [row.planned.start for row in seen(anna, clock).ready]
        assert starts == sorted(starts)
        for first, last in ((door, panel), (panel, door)):
            rows = PlannedSitting.objects.filter(stage__panel=last)
            rows.update(start=F("start") + timedelta(weeks=1), end=F("end") + timedelta(weeks=1))
            assert names(seen(anna, clock).ready) == [first.name, last.name]
            rows.update(start=F("start") - timedelta(weeks=1), end=F("end") - timedelta(weeks=1))

    @pytest.mark.parametrize(
        ("what", "told"),
        [
            ("piece", "The piece comes only on Mon 9 Nov."),
            ("colour", "The colour is to be agreed by Mon 9 Nov."),
            ("paint", "Acrylic gesso comes only on Mon 9 Nov."),
        ],
    )
    def test_what_is_still_to_come_is_not_called_ready(
        self, what, told, panel, at_desk, anna, clock
    ):
        day = date(2026, 11, 9)
        if what == "piece":
            Piece.objects.update(arrives=day)
        elif what == "colour":
            panel.stages.filter(
                position__lt=panel.stages.get(kind="ground-colour").position
            ).delete()
            Panel.objects.update(colour_agreed_by=day)
        else:
            panel.owner.supplies.filter(binder=panel.stages.first().binder).update(comes=day)
        bench = seen(anna, clock)
        assert (names(bench.ready), names(bench.to_come)) == ([], [panel.name])
        shown = at_desk.get(reverse("bench")).content.decode()
        assert told in shown
        assert "Begin all the same" in shown
        assert "Ready for the brush" not in shown
        page = at_desk.get(reverse("panel", args=[panel.pk])).content.decode()
        assert told in page
        assert "ready for the brush" not in page
        clock.now += timedelta(days=7)
        assert names(seen(anna, clock).ready) == [panel.name]

    def test_what_she_began_before_its_day_is_planned_on_at_once(self, panel, at_desk, anna, clock):
        Piece.objects.update(arrives=date(2026, 12, 1))
        tap_start(at_desk, panel.stages.first())
        clock.now += HOUR
        tap_stop(at_desk, Sitting.objects.get(), finishes_coat="0")
        bench = seen(anna, clock)
        assert (names(bench.ready), bench.to_come) == ([panel.name], ())
        assert bench.next[0].start.date() == clock.now.date()

    def test_an_undecided_ground_is_named_until_it_is_laid(self, panel, anna, clock):
        panel_of(panel.surface, "Heron", left=2000, ground_name="", ground_colour="")
        assert [one.name for one in seen(anna, clock).undecided] == ["Heron"]

    def test_all_painted_and_dry_is_neither_ready_nor_drying(self, anna, clock):
        steps = (("ground-colour", "acrylic", 1, "none"),)
        done = agreed_panel(anna.studio, steps=steps)
        painted(done.stages.first(), by=anna, end=clock.now)
        bench = seen(anna, clock)
        assert (bench.ready, bench.drying, bench.next) == ((), (), ())

    def test_the_bench_shows_all_of_it_on_one_page(self, at_desk, panel, anna, clock):
        finch = panel_of(panel.surface, "Finch", left=2000)
        heron = panel_of(panel.surface, "Heron", left=4000)
        painted(finch.stages.first(), by=anna, end=clock.now)
        tap_start(at_desk, heron.stages.first())
        page = at_desk.get(reverse("bench")).content.decode()
        for name in ("Plait", "Finch", "Heron", "Lid"):
            assert name in page
        assert 'name="finishes_coat" value="1"' in page
        assert 'value="touch-dry"' in page
        assert "role-coat-drying" in page, "the wet coat is drawn as wet"

    def test_the_list_alone_is_sent_where_only_that_is_asked_for(self, at_desk, panel):
        page = at_desk.get(reverse("bench"), headers={"HX-Request": "true"}).content.decode()
        assert "Plait" in page
        assert "<html" not in page

    def test_a_copy_of_the_list_is_not_taken_for_the_page(self, at_desk, panel):
        for headers in ({}, {"HX-Request": "true"}):
            assert "HX-Request" in at_desk.get(reverse("bench"), headers=headers)["Vary"]

    @pytest.mark.parametrize("page", ["bench", "panel"])
    def test_a_page_that_looks_again_after_she_signed_out_leads_to_the_sign_in(
        self, page, client, panel
    ):
        path = reverse(page, args=[panel.pk] if page == "panel" else [])
        answer = client.get(path, headers={"HX-Request": "true"})
        assert answer["HX-Redirect"] == f"{reverse('sign-in')}?next={path}"
        assert (answer.status_code, answer.content) == (200, b"")
        assert "HX-Request" in answer["Vary"]
        whole = client.get(path)
        assert (whole.status_code, whole["Location"]) == (302, answer["HX-Redirect"])
        assert "HX-Request" in whole["Vary"]


class TestTaps:
    def test_a_double_tap_begins_one_sitting(self, at_desk, gesso):
        for _ in range(2):
            assert tap_start(at_desk, gesso, once=TOKEN).status_code == 302
        tap_start(at_desk, gesso)
        assert Sitting.objects.count() == 1

    def test_a_double_tap_ends_it_once(self, at_desk, gesso, clock):
        tap_start(at_desk, gesso)
        sitting = Sitting.objects.get()
        clock.now += HOUR
        tap_stop(at_desk, sitting, finishes_coat="1", note=" thin at the edge ", once=TOKEN)
        clock.now += HOUR
        tap_stop(at_desk, sitting, finishes_coat="0", once=TOKEN)
        sitting.refresh_from_db()
        assert sitting.end == clock.now - HOUR
        assert (sitting.finishes_coat, sitting.note) == (True, "thin at the edge")

    def test_a_pause_leaves_the_rest_of_the_coat_to_do(self, at_desk, gesso, anna, clock):
        Stage.objects.filter(pk=gesso.pk).update(minutes=90)
        tap_start(at_desk, gesso)
        clock.now += HOUR
        tap_stop(at_desk, Sitting.objects.get(), finishes_coat="0")
        (row,) = seen(anna, clock).ready
        assert (row.coat, row.minutes) == (1, 30)

    def test_she_is_told_why_she_cannot_begin(self, at_desk, gesso, anna, clock):
        painted(gesso, by=anna, end=clock.now)
        answer = at_desk.post(reverse("sitting-start", args=[gesso.pk]), follow=True)
        assert "still drying" in answer.content.decode()
        assert Sitting.objects.count() == 1

    def test_tacky_moves_the_gate_and_the_reminder(self, at_desk, gesso, anna, clock):
        painted(gesso, by=anna, end=clock.now)
        before = planned_gates(anna.studio).get(stage=gesso, coat=1).opens
        clock.now = before - MINUTE
        tap_touch(at_desk, gesso, "tacky")
        after = planned_gates(anna.studio).get(stage=gesso, coat=1).opens
        assert after > before
        assert Reminder.objects.get(state="waiting").due == after

    def test_touch_dry_brings_the_panel_to_the_ready(self, at_desk, gesso, anna, clock):
        painted(gesso, by=anna, end=clock.now)
        clock.now += 10 * MINUTE
        tap_touch(at_desk, gesso, "touch-dry")
        assert names(seen(anna, clock).ready) == ["Plait"]
        assert not Reminder.objects.filter(state="waiting").exists()

    def test_a_light_touch_says_nothing_of_paint_that_must_dry_all_through(
        self, at_desk, anna, clock
    ):
        steps = (("first-oil", "oil", 1, "through-dry"), ("details", "oil", 1, "touch-dry"))
        oil = agreed_panel(anna.studio, steps=steps).stages.first()
        painted(oil, by=anna, end=clock.now)
        opens = planned_gates(anna.studio).get(stage=oil).opens
        clock.now += timedelta(days=2)
        (was,) = Reminder.objects.values()
        path = reverse("touch-test", args=[oil.pk])
        said = at_desk.post(path, {"coat": 1, "result": "touch-dry"}, follow=True).content.decode()
        assert "touch-dry noted. It waits until it is dry all through all the same" in said
        assert show_gate(opens, anna.studio, now=clock.now) in said
        assert "made anew" not in said
        assert planned_gates(anna.studio).get(stage=oil).opens == opens
        assert list(Reminder.objects.values()) == [was], "nothing moved, so nothing is told twice"

    def test_a_tap_that_moves_the_gate_says_that_the_programme_is_made_anew(
        self, at_desk, gesso, anna, clock
    ):
        painted(gesso, by=anna, end=clock.now)
        clock.now += 10 * MINUTE
        path = reverse("touch-test", args=[gesso.pk])
        for result in ("tacky", "touch-dry"):
            said = at_desk.post(path, {"coat": 1, "result": result}, follow=True).content.decode()
            assert f"Plait: {result}. The programme is made anew." in said
            clock.now += 10 * MINUTE

    def test_two_like_taps_are_one_touch_test(self, at_desk, gesso, anna, clock):
        painted(gesso, by=anna, end=clock.now)
        for _ in range(2):
            tap_touch(at_desk, gesso, "wet", once=TOKEN)
        clock.now += MINUTE
        tap_touch(at_desk, gesso, "wet")
        assert TouchTest.objects.count() == 1

    @pytest.mark.parametrize(
        "data",
        [{"result": "soaked"}, {"result": ""}, {"coat": ""}, {"coat": "-1"}, {"coat": "9" * 40}],
    )
    def test_nonsense_in_a_tap_is_answered_in_words(self, data, at_desk, gesso, anna, clock):
        painted(gesso, by=anna, end=clock.now)
        sent = {"coat": 1, "result": "wet", **data}
        answer = at_desk.post(reverse("touch-test", args=[gesso.pk]), sent, follow=True)
        assert answer.status_code == 200
        assert 'class="notice refused"' in answer.content.decode()
        assert not TouchTest.objects.exists()

    def test_a_strangers_tap_finds_nothing(self, client, gesso, anna, stranger, clock):
        painted(gesso, by=anna, end=clock.now)
        client.force_login(stranger)
        assert tap_start(client, gesso).status_code == 404
        assert tap_touch(client, gesso, "touch-dry").status_code == 404
        assert tap_stop(client, Sitting.objects.get()).status_code == 404
        assert not TouchTest.objects.exists()

    @pytest.mark.parametrize(
        ("there", "goes"),
        [
            ("/panels/", "/panels/"),
            ("https://example.com/", "/bench/"),
            ("//example.com/", "/bench/"),
            ("/\\example.com", "/bench/"),
            ("\t//example.com", "/bench/"),
            ("javascript:alert(1)", "/bench/"),
            ("panels", "/bench/"),
            ("", "/bench/"),
        ],
    )
    def test_a_tap_leads_back_to_our_own_pages_only(self, there, goes, at_desk, gesso):
        assert tap_start(at_desk, gesso, next=there).url == goes


def more_work(anna, panel, clock, count: int) -> None:
    """Add a panel drying, one ready and one without a method to the surface."""
    drying = panel_of(panel.surface, f"Drying {count}", left=2000 * count, top=0)
    painted(drying.stages.first(), by=anna, end=clock.now - count * MINUTE * 31)
    panel_of(panel.surface, f"Ready {count}", left=2000 * count, top=2000, ground_name="")
    panel_of(panel.surface, f"Bare {count}", left=2000 * count, top=4000, height=900, steps=())


@pytest.mark.parametrize("page", ["bench", "programme", "estimate", "reminders", "feed"])
def test_a_page_asks_as_often_for_many_panels_as_for_few(page, at_desk, panel, anna, clock):
    commission = panel.commission
    keys = {"estimate": [commission.number], "feed": [anna.studio.feed_secret]}
    path = reverse(page, args=keys.get(page, []))
    asked_for = []
    for count in (1, 2, 3):
        more_work(anna, panel, clock, count)
        with CaptureQueriesContext(connection) as queries:
            assert at_desk.get(path).status_code == 200
        asked_for.append([query["sql"] for query in queries])
    assert len(asked_for[0]) == len(asked_for[2]), "\n".join(asked_for[2])


def test_many_issues_ask_no_more_of_the_estimate_page(at_desk, panel, clock):
    counts = []
    for _ in range(3):
        draft = draft_estimate(panel.commission, now=clock.now)
        issue_estimate(draft, at=clock.now, seen_total=draft.pricing.costing.total)
        with CaptureQueriesContext(connection) as queries:
            at_desk.get(reverse("estimate", args=[panel.commission.number]))
        counts.append(len(queries))
    assert counts[0] == counts[2]
