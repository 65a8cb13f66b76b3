"""A slow tube colour in a mix keeps the programme waiting, before and after it is painted."""

from jobs.domain.mixes import keep_mix
from jobs.models import Mix
from schedule.domain.programme import plan_studio, planned_gates, planned_sittings
from tests.cast import agreed_panel, panel_of

STEPS = (("first-oil", "oil", 1, "touch-dry"), ("details", "oil", 1, "touch-dry"))
SLOW, QUICK = "PBk9", "PBr7"
"""Ivory black is slow in oil, umber is not: makers' lists of drying times."""


def mixed(panel, pigment: str):
    mix = Mix(studio=panel.owner, name=pigment, colour="#222222")
    panel.stages.update(mix=keep_mix(mix, parts={pigment: 1}))
    return panel


def test_the_planned_wait_after_a_slow_colour_is_longer(clock, anna):
    quick = mixed(agreed_panel(anna.studio, "Umber", steps=STEPS), QUICK)
    slow = mixed(panel_of(quick.surface, "Black", left=3000, steps=STEPS), SLOW)
    plan_studio(anna.studio, now=clock.now)

    def wait(panel):
        first = panel.stages.first()
        (gate,) = planned_gates(anna.studio).filter(stage=first)
        last = planned_sittings(anna.studio).filter(stage=first).latest("end")
        return gate.opens - last.end

    assert wait(slow) > 1.3 * wait(quick)


def test_a_colour_put_into_a_mix_moves_the_programme_at_once(clock, anna):
    panel = mixed(agreed_panel(anna.studio, "Umber", steps=STEPS), QUICK)
    mix = panel.stages.first().mix
    before = planned_sittings(anna.studio).latest("end").end
    keep_mix(mix, parts={QUICK: 3, SLOW: 1})
    assert planned_sittings(anna.studio).latest("end").end > before
