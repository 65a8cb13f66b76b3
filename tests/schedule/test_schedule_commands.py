"""The commands of time, as another program reads them."""

import json
from datetime import datetime, timedelta
from io import StringIO

import pytest
from django.core.management import CommandError, call_command

from jobs.models import Commission
from schedule.domain.programme import plan_studio, planned_gates, planned_sittings
from studio.models import Studio
from tests.cast import asked, painted, panel_of, piece_of, surface_of

HOUR = timedelta(hours=1)


@pytest.fixture
def panel(clock, anna):
    """A panel with a coat drying, another ready, in a studio that is not on Greenwich time."""
    Studio.objects.filter(pk=anna.studio.pk).update(time_zone="Asia/Kathmandu")
    anna.refresh_from_db()
    anna.studio.refresh_from_db()
    surface = surface_of(piece_of(asked(anna.studio, agreed=True)))
    panel_of(surface, "Finch", left=2000)
    drying = panel_of(surface)
    painted(drying.stages.first(), by=anna, end=clock.now)
    return drying


def said(*words: str) -> str:
    out = StringIO()
    call_command(*words, stdout=out)
    return out.getvalue()


def data(*words: str) -> dict:
    return json.loads(said(*words, "--json"))


def test_the_programme_has_the_keys_that_scripts_rely_on(panel):
    told = data("programme")
    assert list(told) == ["made", "sittings", "gates", "commissions"]
    assert list(told["sittings"][0]) == [
        "commission", "panel", "stage", "person", "start", "end"
    ]  # fmt: skip
    assert list(told["gates"][0]) == ["panel", "stage", "kind", "opens"]
    assert list(told["commissions"][0]) == ["number", "title", "finish", "wanted", "late_days"]


def test_the_programme_tells_every_stored_row(panel, anna):
    told = data("programme")
    starts = [datetime.fromisoformat(row["start"]) for row in told["sittings"]]
    assert starts == [row.start for row in planned_sittings(anna.studio)]
    assert len(told["gates"]) == len(list(planned_gates(anna.studio)))
    (commission,) = told["commissions"]
    assert (commission["number"], commission["wanted"], commission["late_days"]) == (1, None, 0)
    assert {row["person"] for row in told["sittings"]} == {"Anna"}


def test_the_bench_has_the_keys_that_scripts_rely_on(panel):
    told = data("bench")
    assert list(told) == ["ready", "to_come", "drying", "next"]
    assert list(told["ready"][0]) == ["panel", "stage", "minutes"]
    assert list(told["drying"][0]) == ["panel", "stage", "likely", "surely"]
    assert [row["panel"] for row in told["ready"]] == ["Finch"]
    assert [(row["panel"], row["stage"]) for row in told["drying"]] == [
        ("Plait", "Prime, coat 1 of 2")
    ]
    assert told["next"]


@pytest.mark.parametrize("command", ["programme", "bench"])
def test_times_carry_the_studios_offset(command, panel):
    """ISO 8601: local time with its offset from UTC; Nepal keeps +05:45."""

    def moments(thing):
        if isinstance(thing, dict):
            for key, value in thing.items():
                if key in ("made", "start", "end", "opens", "likely", "surely", "finish"):
                    yield value
                else:
                    yield from moments(value)
        elif isinstance(thing, list):
            for one in thing:
                yield from moments(one)

    found = list(moments(data(command)))
    assert len(found) > 2
    assert all(datetime.fromisoformat(one).utcoffset() == 5.75 * HOUR for one in found)


@pytest.mark.parametrize("command", ["programme", "bench"])
def test_people_get_it_in_lines(command, panel):
    assert "Finch" in said(command)
    assert "Plait" in said(command)


def test_a_late_commission_is_told_in_days(panel, anna, clock):
    Commission.objects.update(wanted=clock.now.date())
    plan_studio(anna.studio, now=clock.now)
    told = data("programme")["commissions"][0]
    finish = datetime.fromisoformat(told["finish"]).date()
    assert told["wanted"] == "2026-11-02"
    assert told["late_days"] == (finish - clock.now.date()).days > 0
    assert "late" in said("programme")


@pytest.mark.parametrize("command", ["programme", "bench"])
def test_an_idle_studio_is_told_as_empty_lists(command, anna, clock):
    told = data(command)
    assert all(value == [] for key, value in told.items() if key != "made")


@pytest.mark.parametrize("command", ["programme", "bench"])
class TestWhichStudio:
    def test_there_must_be_one(self, command, db):
        with pytest.raises(CommandError, match="no studio yet"):
            call_command(command, "--json")

    def test_of_several_one_is_to_be_named(self, command, panel, stranger):
        with pytest.raises(CommandError, match="--studio"):
            call_command(command, "--json")
        assert "Finch" in said(command, "--json", "--studio", "the-blue-door")
        assert "Finch" not in said(command, "--json", "--studio", "elsewhere")

    def test_a_name_that_is_not_there_is_said(self, command, panel):
        with pytest.raises(CommandError, match="no studio 'nowhere'"):
            call_command(command, "--studio", "nowhere")
