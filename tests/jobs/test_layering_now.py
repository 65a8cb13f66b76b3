"""What the layering rules say of the next stage on what lies there now."""

from datetime import timedelta
from zoneinfo import ZoneInfo

from django.urls import reverse

from jobs.domain.methods import keep_step
from jobs.domain.work import record_touch_test
from jobs.domain.workshop import workshop_of
from jobs.models import Panel, Stage
from studio.models import Studio
from tests.cast import painted
from tests.jobs.laid import DAY, DRY_GROUND, HOUR, MONDAY, SOUND, change, now_said, said


class TestWhatLiesThereNow:
    oil = ("first-oil", "oil", 1, "touch-dry")

    def grounded(self, panel_with, anna, *, gate: str = "recoat") -> Panel:
        """Return a panel whose ground colour was finished on Monday at noon."""
        panel = panel_with(*DRY_GROUND, self.oil)
        change(panel, "ground-colour", gate=gate)
        end = MONDAY - 20 * DAY
        for stage in panel.stages.exclude(kind="first-oil"):
            for _ in range(stage.coats):
                end += DAY
                painted(stage, by=anna, end=MONDAY if stage.kind == "ground-colour" else end)
        return panel

    def test_nothing_is_said_of_a_panel_with_nothing_on_it_or_nothing_left(self, panel_with, anna):
        panel = panel_with(("prime", "gesso", 1, "recoat"))
        assert now_said(panel, MONDAY) is None
        painted(panel.stages.get(), by=anna, end=MONDAY)
        assert now_said(panel, MONDAY) is None

    def test_the_day_to_wait_for_is_told_as_the_gate_reckons_it(self, panel_with, anna):
        panel = self.grounded(panel_with, anna)
        wait = workshop_of(anna.studio).wait(panel.stages.get(kind="ground-colour"), "through-dry")
        verdict = now_said(panel, MONDAY + DAY)
        assert (verdict.level, verdict.rule) == ("refused", "oil-over-fresh-water")
        assert verdict.wait_until == MONDAY + wait.median
        day = MONDAY + wait.median
        assert f"(likely {day.day} {day:%B})" in verdict.mend

    def test_once_it_is_dry_all_through_nothing_speaks_against_it(self, panel_with, anna):
        panel = self.grounded(panel_with, anna)
        until = now_said(panel, MONDAY + DAY).wait_until
        assert now_said(panel, until - timedelta(minutes=1)).level == "refused"
        assert now_said(panel, until).level == "allowed"

    def test_a_drawing_on_it_does_not_shorten_the_wait(self, panel_with, anna):
        panel = self.grounded(panel_with, anna)
        until = now_said(panel, MONDAY + DAY).wait_until
        draw = Stage(panel=panel, kind="draw", binder="pencil", gate="none")
        keep_step(draw)
        painted(Stage.objects.get(kind="draw"), by=anna, end=MONDAY + 20 * HOUR)
        verdict = now_said(panel, MONDAY + DAY)
        assert (verdict.rule, verdict.wait_until) == ("oil-over-fresh-water", until)

    def test_the_day_is_the_studios_own(self, panel_with, anna):
        panel = self.grounded(panel_with, anna)
        until = now_said(panel, MONDAY + DAY).wait_until
        for zone in ("Pacific/Auckland", "Pacific/Honolulu"):
            Studio.objects.update(time_zone=zone)
            there = until.astimezone(ZoneInfo(zone))
            mend = now_said(Panel.objects.get(pk=panel.pk), MONDAY + DAY).mend
            assert f"(likely {there.day} {there:%B})" in mend

    def test_a_coat_still_tacky_to_the_finger_is_waited_for(self, panel_with, anna):
        panel = panel_with(*DRY_GROUND, self.oil, ("details", "oil", 1, "touch-dry"))
        for stage in panel.stages.exclude(kind="details"):
            for coat in range(stage.coats):
                painted(stage, by=anna, end=MONDAY + DAY * (10 * stage.position + coat))
        stage = panel.stages.get(kind="first-oil")
        (end,) = stage.coat_ends
        late = end + 40 * DAY
        assert now_said(panel, late).level == "allowed"
        record_touch_test(stage, coat=1, result="tacky", by=anna, at=late - HOUR)
        assert now_said(panel, late).rule == "too-early"

    def test_the_second_coat_waits_for_the_first_as_between_coats(self, panel_with, anna):
        panel = panel_with(*SOUND, ("ground-colour", "acrylic", 2, "through-dry"))
        for stage, hours in zip(panel.stages.all(), (30, 20, 0), strict=True):
            painted(stage, by=anna, end=MONDAY - hours * HOUR)
        assert now_said(panel, MONDAY + timedelta(minutes=1)).rule == "too-early"
        assert now_said(panel, MONDAY + 5 * HOUR).level == "allowed"

    def test_the_coats_that_lie_there_count_and_not_those_the_method_now_asks_for(
        self, panel_with, anna
    ):
        panel = panel_with(*SOUND, ("prime", "gesso", 2, "through-dry"), self.oil)
        for day, kind in enumerate(("clean", "sand", "prime", "prime")):
            painted(Stage.objects.get(kind=kind), by=anna, end=MONDAY - (30 - day) * DAY)
        change(panel, "prime", coats=1)
        assert "thin-ground" in [rule for _, rule in said(panel)]
        assert now_said(panel, MONDAY).level == "allowed"

    def test_sanding_still_to_come_counts_as_in_the_method(self, panel_with, anna):
        steps = (
            ("clean", "wash", 1, "recoat"),
            ("prime", "gesso", 1, "recoat"),
            ("sand", "none", 1, "none"),
        )
        panel = panel_with(*steps, finish="bare")
        # A stage made anew stands where its kind usually does; here she sands after the primer.
        change(panel, "sand", position=2)
        change(panel, "prime", position=1)
        painted(panel.stages.get(kind="clean"), by=anna, end=MONDAY)
        assert said(panel) == []
        assert now_said(panel, MONDAY + DAY).level == "allowed"

    def test_the_panels_page_says_until_when(self, panel_with, anna, at_desk, clock):
        clock.now = MONDAY + DAY
        panel = self.grounded(panel_with, anna)
        page = at_desk.get(reverse("panel", args=[panel.pk])).content.decode()
        now = page[page.index('id="now"') : page.index("</section>", page.index('id="now"'))]
        assert now_said(panel, clock.now).mend in now

    def test_a_wait_the_page_tells_already_is_no_second_notice(
        self, panel_with, anna, at_desk, clock
    ):
        clock.now = MONDAY + DAY
        panel = self.grounded(panel_with, anna, gate="through-dry")
        story = at_desk.get(reverse("panel", args=[panel.pk])).context["story"]
        assert (story.verdict.level, story.loud) == ("refused", False)

    def test_nothing_is_said_while_she_is_at_it(self, panel_with, anna, at_desk, clock):
        clock.now = MONDAY + DAY
        panel = self.grounded(panel_with, anna)
        oil = panel.stages.get(kind="first-oil")
        at_desk.post(reverse("sitting-start", args=[oil.pk]), {"anyway": "1"})
        story = at_desk.get(reverse("panel", args=[panel.pk])).context["story"]
        assert story.running
        assert (story.verdict, story.loud) == (None, False)
