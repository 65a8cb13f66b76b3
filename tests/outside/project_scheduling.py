"""Published scheduling problems in the terms of the exact layer."""

from collections.abc import Iterable
from pathlib import Path

import psplib

from schedule.engine.cp.model import Cumulative, Delivery, Lag, Model, Task, Unary


def makespan(tasks: Iterable[Task]) -> Delivery:
    """The delivery whose cost is the step at which all the tasks are over."""
    return Delivery(tuple((task.key, 0) for task in tasks))


def shop(text: str, *, waits: bool = True) -> Model:
    """A job shop, or one in which a job goes from machine to machine without a wait."""
    tasks: list[Task] = []
    lags: list[Lag] = []
    machines: dict[int, list[str]] = {}
    for job, line in enumerate(text.split("\n")[1:-1]):
        numbers = [int(number) for number in line.split()]
        steps = list(zip(numbers[::2], numbers[1::2], strict=True))
        for place, (machine, time) in enumerate(steps):
            task = Task(f"{job}/{place}", time, time)
            if place:
                before = tasks[-1]
                lags.append(Lag(before.key, task.key, before.most, None if waits else before.most))
            tasks.append(task)
            machines.setdefault(machine, []).append(task.key)
    return Model(
        sum(task.most for task in tasks),
        tuple(tasks),
        tuple(lags),
        unary=tuple(Unary(tuple(machines[number])) for number in sorted(machines)),
        deliveries=(makespan(tasks),),
    )


def project(text: str, rooms: tuple[int, ...]) -> Model:
    """A project of activities with durations, demands and successors (RCPSP)."""
    rows = [line.split(":") for line in text.split("\n")[1:-1]]
    numbers = [[int(number) for number in left.split()] for left, _ in rows]
    tasks = tuple(Task(str(row[0]), row[1], row[1]) for row in numbers)
    return Model(
        sum(task.most for task in tasks),
        tasks,
        tuple(
            Lag(task.key, after, task.most)
            for task, (_, right) in zip(tasks, rows, strict=True)
            for after in right.split()
        ),
        cumulative=tuple(
            Cumulative(room, tuple((str(row[0]), row[2 + place]) for row in numbers))
            for place, room in enumerate(rooms)
        ),
        deliveries=(makespan(tasks),),
    )


def from_file(path: Path) -> Model:
    """A file of a benchmark set: RCPSP/max where it is called .sch, else RCPSP."""
    form = "rcpsp_max" if path.suffix.lower() == ".sch" else "psplib"
    return from_instance(psplib.parse(path, instance_format=form))


def from_instance(instance: psplib.ProjectInstance) -> Model:
    """A project as read by the library: one mode, renewable resources, lags of either sign."""
    durations = [activity.modes[0].duration for activity in instance.activities]
    lags, longest = [], list(durations)
    for place, activity in enumerate(instance.activities):
        delays = activity.delays or [durations[place]] * len(activity.successors)
        longest[place] = max([durations[place], *delays])
        lags += [
            Lag(str(place), str(after), delay)
            for after, delay in zip(activity.successors, delays, strict=True)
        ]
    tasks = tuple(Task(str(place), time, time) for place, time in enumerate(durations))
    return Model(
        sum(longest),
        tasks,
        tuple(lags),
        cumulative=tuple(
            Cumulative(
                resource.capacity,
                tuple(
                    (str(place), activity.modes[0].demands[number])
                    for place, activity in enumerate(instance.activities)
                ),
            )
            for number, resource in enumerate(instance.resources)
        ),
        deliveries=(makespan(tasks),),
    )
