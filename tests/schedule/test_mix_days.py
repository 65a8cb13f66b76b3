"""When a mix is used, and what one mixing serves."""

from datetime import UTC, timedelta
from decimal import Decimal

import pytest
from django.urls import reverse

from jobs.domain.mix_needs import mix_needs
from jobs.domain.mixes import keep_mix
from jobs.domain.workshop import workshop_of
from jobs.models import Mix, Stage
from schedule.domain.mix_days import mix_batches
from schedule.domain.programme import plan_studio
from studio.models import DayOff, Studio
from tests.cast import job

STEPS = (("first-oil", "oil", 1, "touch-dry"),)


@pytest.fixture
def gold(anna) -> Mix:
    return keep_mix(Mix(studio=anna.studio, name="Old gold"), parts={"PY43": 3, "PW6": 1})


def use(mix: Mix, studio, panels: int = 1, *, steps=STEPS, **more) -> list[Stage]:
    """Return the first stages of some panels of agreed work, painted with the mix."""
    found = [job(studio, name=f"Panel {one}", steps=steps, **more) for one in range(panels)]
    stages = Stage.objects.filter(panel__in=found, position=0)
    stages.update(mix=mix)
    return list(stages)


def test_one_mixing_serves_all_panels_that_are_painted_while_it_keeps(anna, gold, clock):
    use(gold, anna.studio, 3)
    plan_studio(anna.studio, now=clock.now)
    (batch,) = mix_batches(gold, now=clock.now)
    assert len(batch.panels) == 3
    assert batch.ml == pytest.approx(mix_needs(gold).together[0].ml, abs=Decimal("0.05"))
    assert batch.last - batch.first <= batch.keeps
    assert [day for day, _ in batch.days] == sorted({use.day for use in batch.uses})


def test_what_is_painted_after_it_has_dried_on_the_palette_is_mixed_anew(anna, gold, clock):
    coats = (("first-oil", "oil", 2, "through-dry"),)
    use(gold, anna.studio, steps=coats)
    plan_studio(anna.studio, now=clock.now)
    first, second = mix_batches(gold, now=clock.now)
    assert second.uses[0].sitting.start > first.uses[0].sitting.start + first.keeps
    assert first.ml == second.ml


def test_water_based_paint_keeps_in_its_jar_though_a_coat_dries_in_minutes(anna, gold, clock):
    use(gold, anna.studio, steps=(("ground-colour", "acrylic", 2, "recoat"),))
    anna.studio.days_off.add(
        DayOff(first=clock.now.date() + timedelta(1), last=clock.now.date() + timedelta(1)),
        bulk=False,
    )
    plan_studio(anna.studio, now=clock.now)
    (batch,) = mix_batches(gold, now=clock.now)
    assert batch.jar
    assert len(batch.uses) >= 2


def test_oil_and_acrylic_of_one_mix_are_mixed_apart(anna, gold, clock):
    use(gold, anna.studio)
    use(gold, anna.studio, steps=(("ground-colour", "acrylic", 1, "recoat"),))
    plan_studio(anna.studio, now=clock.now)
    batches = mix_batches(gold, now=clock.now)
    assert {batch.supply.binder for batch in batches} == {"oil", "acrylic"}


def test_the_page_of_the_mix_asks_for_its_days_and_gets_them_as_a_part(at_desk, anna, gold, clock):
    use(gold, anna.studio, 2)
    path = reverse("mix-days", args=[gold.pk])
    assert f'hx-get="{path}"' in at_desk.get(reverse("mix", args=[gold.pk])).content.decode()
    part = at_desk.get(path, headers={"HX-Request": "true"}).content.decode()
    assert "<html" not in part
    assert "it serves 2 panels" in part
    whole = at_desk.get(path).content.decode()
    assert "<html" in whole
    assert "it serves 2 panels" in whole


def test_work_that_is_not_agreed_has_no_days(at_desk, anna, gold, clock):
    use(gold, anna.studio, agreed=False)
    shown = at_desk.get(reverse("mix-days", args=[gold.pk])).content.decode()
    assert "No sitting with this mix is planned" in shown


@pytest.mark.parametrize("zone", ["Pacific/Auckland", "America/Los_Angeles"])
def test_the_day_of_a_use_is_the_studios_own(zone, anna, gold, clock):
    Studio.objects.update(time_zone=zone)
    studio = Studio.objects.get()
    (stage,) = use(gold, studio)
    plan_studio(studio, now=clock.now)
    start = stage.planned_sittings.order_by("start").first().start
    # At two in the morning and at ten at night the day in the studio is not that of UTC.
    hour = 2 if zone == "Pacific/Auckland" else 22
    there = start.astimezone(studio.zone).replace(hour=hour)
    stage.planned_sittings.update(start=there, end=there + timedelta(hours=1))
    (batch,) = mix_batches(Mix.objects.get(), now=clock.now)
    assert batch.first == there.date() != there.astimezone(UTC).date()


def test_the_medium_that_dries_soonest_governs_all_that_one_mixing_serves(anna, gold, clock):
    use(gold, anna.studio, 2)
    plan_studio(anna.studio, now=clock.now)
    (batch,) = mix_batches(gold, now=clock.now)
    Stage.objects.filter(pk=batch.uses[-1].sitting.stage_id).update(medium="alkyd")
    (mixed,) = mix_batches(gold, now=clock.now)
    last = Stage.objects.get(pk=batch.uses[-1].sitting.stage_id)
    assert mixed.keeps == workshop_of(anna.studio).wait(last, "touch-dry").likely < batch.keeps
    # Put off until the quick one's mixing is dry, though the slow one's would still be good.
    later = batch.uses[0].sitting.start + (mixed.keeps + batch.keeps) / 2
    last.planned_sittings.update(start=later, end=later + timedelta(hours=1))
    apart = mix_batches(gold, now=clock.now)
    assert [one.keeps for one in apart] == [batch.keeps, mixed.keeps]
