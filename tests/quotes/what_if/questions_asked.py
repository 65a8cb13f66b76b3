"""Questions as forms send them, and what is read of their answers."""

from datetime import UTC, date, datetime, time, timedelta
from uuid import uuid4

from django.apps import apps
from django.contrib.sessions.models import Session
from django.urls import reverse

from jobs.domain.grounds import ground_colours as grounds_of
from jobs.models import Commission, Panel
from quotes.domain.questions import AnotherPerson, OneMore, OtherGround, Overtime, WarmerRoom
from quotes.domain.what_if import Answer, answer
from studio.models import Studio
from studio.signals import hold_changes
from tests.cast import painted

DAY = timedelta(days=1)
MONDAY = date(2026, 11, 2)
UMBER = "#5b4636"
QUESTIONS = ("commission", "ground", "person", "room", "overtime")


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


def page(
    at_desk, data: dict, *, name: str = "what-if", args: tuple = (), status: int = 200, **more
) -> str:
    response = at_desk.get(reverse(name, args=args), data, **more)
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


def question_of(key: str, panel: Panel, enquiry: Commission):
    umber = next(one for one in grounds_of(panel) if one.colour == UMBER)
    return {
        "commission": OneMore(enquiry),
        "ground": OtherGround(panel, umber),
        "person": AnotherPerson(MONDAY, MONDAY + 4 * DAY, 2000),
        "room": WarmerRoom(26),
        "overtime": Overtime(MONDAY, MONDAY + 11 * DAY, time(18), time(20), 3000),
    }[key]


def ground_laid(panel: Panel, studio: Studio) -> None:
    """Lay a black ground on the panel in September."""
    Panel.objects.filter(pk=panel.pk).update(ground_name="Black", ground_colour="#101010")
    person = studio.people.get()
    end = datetime(2026, 9, 1, 9, tzinfo=UTC)
    stages = Panel.objects.get(pk=panel.pk).stages
    with hold_changes():
        for stage in stages.filter(kind__in=("prime", "ground-colour")):
            for _ in range(stage.coats):
                end += 2 * DAY
                painted(stage, by=person, end=end)
