"""Random small studios with everything on: skills, mixes, wet runs, faces, a rack and pins."""

from dataclasses import replace
from datetime import UTC, datetime, timedelta

from hypothesis import strategies as st

from schedule.engine.calendar import Window, merged
from schedule.engine.problem import Commission, Face, Gate, Panel, Person, Pin, Problem, Task

MONDAY = datetime(2026, 6, 1, tzinfo=UTC)
SLOT = timedelta(minutes=15)
SKILLS = ("gilding", "figures")
MIXES = ("", "umber", "verdigris")
FACES = (Face("front", ("back",)), Face("back", ("front", "ledge")), Face("ledge"))
moments = st.integers(0, 12 * 24 * 4).map(lambda slot: MONDAY + slot * SLOT)
odd_moments = st.integers(0, 12 * 24 * 60).map(lambda minute: MONDAY + timedelta(minutes=minute))


@st.composite
def people(draw: st.DrawFn) -> tuple[Person, ...]:
    """One to three people, mornings and afternoons over three weeks with days off."""
    found = []
    for number in range(draw(st.sampled_from((1, 2, 1, 3)))):
        opens, closes = draw(st.integers(6, 10)), draw(st.integers(15, 19))
        noon = draw(st.integers(11, 13))
        off = draw(st.frozensets(st.integers(0, 20), max_size=6))
        windows = []
        for day in sorted(set(range(21)) - off):
            start = MONDAY + timedelta(days=day)
            windows.append(Window(start + timedelta(hours=opens), start + timedelta(hours=noon)))
            later = start + timedelta(hours=noon, minutes=draw(st.sampled_from((0, 30, 65))))
            windows.append(Window(later, start + timedelta(hours=closes)))
        skills = draw(st.frozensets(st.sampled_from(SKILLS)))
        found.append(Person(f"person {number}", merged(windows), skills))
    return tuple(found)


@st.composite
def tasks(draw: st.DrawFn, number: int, follows: Task | None) -> Task:
    minutes = draw(st.sampled_from((0, 20, 45, 60, 90, 120, 200, 400)))
    shortest = draw(st.sampled_from((15, 45, 60)))
    hours = draw(st.sampled_from((0, 1, 4, 20, 60)))
    wet = draw(st.sampled_from((None, timedelta(hours=hours) / 4)))
    wait = Gate("recoat", timedelta(hours=hours), wet)
    within = None
    if minutes and follows and follows.minutes and draw(st.integers(0, 2)) == 0:
        within = timedelta(minutes=draw(st.sampled_from((30, 120, 300, 1500))))
    mix = draw(st.sampled_from(MIXES))
    return Task(
        f"stage {number}",
        minutes,
        shortest,
        shortest + draw(st.sampled_from((0, 60, 150))),
        draw(st.sampled_from((wait, wait, None))),
        skill=draw(st.sampled_from(("", "", "", *SKILLS))),
        mix=mix,
        set_up=draw(st.sampled_from((0, 15, 10))) if mix and minutes else 0,
        within=within,
        not_before=draw(st.sampled_from((None, None, None, MONDAY + timedelta(days=4, hours=9)))),
    )


@st.composite
def panels(draw: st.DrawFn, number: int, commission: str, now: datetime) -> Panel:
    steps: list[Task] = []
    for n in range(draw(st.sampled_from((3, 2, 4, 1, 0)))):
        steps.append(draw(tasks(n, steps[-1] if steps else None)))
    face = draw(st.sampled_from(("", *(face.key for face in FACES))))
    touched = draw(st.sampled_from((None, now - timedelta(minutes=40))))
    if steps and steps[0].minutes and touched and draw(st.booleans()):
        steps[0] = replace(steps[0], within=timedelta(hours=draw(st.sampled_from((1, 30)))))
    opens = draw(st.none() | odd_moments)
    rack = not face and draw(st.booleans())
    return Panel(
        f"panel {number}",
        commission,
        tuple(steps),
        opens,
        draw(st.none() | odd_moments),
        face=face,
        rack=rack,
        part="door" if rack and number % 2 else "",
        touched=touched,
        wet_until=draw(st.sampled_from((None, opens))),
    )


@st.composite
def studios(draw: st.DrawFn) -> Problem:
    """A studio of up to three commissions and five panels, with up to three pins."""
    hands = draw(people())
    now = draw(odd_moments)
    wanted = st.none() | moments
    commissions = tuple(
        Commission(f"commission {n}", draw(wanted), draw(st.integers(1, 3)))
        for n in range(draw(st.integers(1, 3)))
    )
    found = [
        draw(panels(n, draw(st.sampled_from(commissions)).key, now))
        for n in range(draw(st.integers(1, 5)))
    ]
    free = [person.key for person in hands]
    for n, panel in enumerate(found):
        first = panel.tasks[0] if panel.tasks else None
        if free and first and first.minutes and draw(st.integers(0, 4)) == 0:
            begun = replace(first, begun_by=free.pop())
            found[n] = replace(panel, tasks=(begun, *panel.tasks[1:]))
    pins = draw(pinned(found, hands))
    rack = draw(st.sampled_from((None, 1, 2)))
    return Problem(now, hands, commissions, tuple(found), SLOT, FACES, rack, pins)


@st.composite
def pinned(draw: st.DrawFn, found: list[Panel], hands: tuple[Person, ...]) -> tuple[Pin, ...]:
    work = [(panel, task) for panel in found for task in panel.tasks if task.minutes]
    pins = []
    for _ in range(draw(st.sampled_from((0, 0, 1, 2, 3)))) if work else ():
        panel, task = draw(st.sampled_from(work))
        person = draw(st.sampled_from(hands))
        start = draw(moments)
        if person.windows and draw(st.booleans()):
            start = draw(st.sampled_from(person.windows)).start
            start += (MONDAY - start) % SLOT
        end = start + SLOT * draw(st.sampled_from((2, 4, 8)))
        firm = draw(st.sampled_from((True, True, False)))
        pins.append(Pin(panel.key, task.key, person.key, start, end, firm))
    return tuple(pins)
