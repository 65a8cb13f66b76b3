"""Wet runs: stages worked into one another while they are wet, laid by one person in one go."""

from collections.abc import Callable
from functools import partial

from schedule.engine.hands import OpenTime, can_cut, cut
from schedule.engine.works import Works

Sat = tuple[int, int, int]
"""A task, and the slots from and up to which it is worked on."""


def lay_run(
    works: Works,
    hours: OpenTime,
    tasks: range,
    at: int,
    laid: int,
    *,
    work_of: Callable[[list[Sat], int, int], int],
    is_clear: Callable[[int, int, int], bool],
) -> list[Sat] | None:
    """Return the sittings of the `tasks` of a wet run, in order; None where they do not fit.

    They start at slot `at` or later; `laid` is the end of the coat before the first, in
    microseconds. `work_of` gives a task's slots when it starts at a slot after the sittings so far,
    `is_clear` whether a sitting finds nothing wet in its way. Each task starts as early as her
    hours allow and must end within its maximum wait.
    """
    sat: list[Sat] = []
    for t in tasks:
        wait = works.wait[t - 1] if t > works.first[works.panel_of[t]] else 0
        ready = max(laid + wait, works.release[t])
        until = (laid + works.within[t]) // works.slot
        mine = _lay(works, hours, t, max(at, -(-ready // works.slot)), until, partial(work_of, sat))
        if mine is None or not all(is_clear(*one) for one in mine):
            return None
        sat += mine
        laid = mine[-1][2] * works.slot
    return sat


def _lay(
    works: Works,
    hours: OpenTime,
    t: int,
    at: int,
    until: int,
    work_of: Callable[[int, int], int],
) -> list[Sat] | None:
    """Return the sittings of one task from a slot on, all ended by the slot `until`."""
    sat: list[Sat] = []
    shortest, longest = works.shortest[t], works.longest[t]
    rest, loose = -1, False
    place = hours.place(at)
    while rest:
        if place == len(hours.ends):
            return None
        at = max(at, hours.starts[place])
        if rest < 0:
            rest = work_of(t, at)
            loose = not can_cut(rest, shortest, min(longest, hours.room(at, place)))
        if at + rest > until:
            return None
        space = min(hours.ends[place] - at, longest)
        if rest <= space:
            size = rest
        elif loose:
            size = space if space >= shortest else 0
        else:
            size = cut(rest, at, space, shortest, longest, hours, place)
        if size:
            sat.append((t, at, at + size))
            rest -= size
            at += size + 1
        else:
            at = hours.ends[place]
            rest = -1 if not sat else rest
        place = hours.place(at)
    return sat
