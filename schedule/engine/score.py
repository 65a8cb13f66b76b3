"""The cost of a decode, reckoned in whole numbers while searching; the judge reckons it anew."""

from schedule.engine.decoder import Run
from schedule.engine.hands import micros
from schedule.engine.objective import EARLIER, NEAR, Score
from schedule.engine.plan import Plan
from schedule.engine.slots import MICROS
from schedule.engine.works import MICRO, Works

HOUR = 3600 * MICROS
DAY = 24 * HOUR


def near_starts(works: Works, old: Plan | None) -> dict[int, int]:
    """Return the tasks an older plan begins soon, with the instants (microseconds) it does."""
    starts = starts_of(works, old)
    until = works.now + NEAR // MICRO
    return {t: start for t, start in starts.items() if works.now <= start < until}


def starts_of(works: Works, old: Plan | None) -> dict[int, int]:
    """Return when an older plan begins the tasks that are still to be planned (microseconds)."""
    starts: dict[int, int] = {}
    for sitting in old.sittings if old else ():
        t = works.place.get((sitting.panel, sitting.task))
        if t is not None:
            start = micros(sitting.start)
            starts[t] = min(start, starts.get(t, start))
    return starts


def score_of(works: Works, run: Run, near: dict[int, int]) -> Score:
    """Return what a decode costs; `near` is what is known to begin soon, from `near_starts`."""
    first = _first_touches(works, run)
    last: list[int | None] = [None] * len(works.commissions)
    whole = [True] * len(works.commissions)
    unplanned = 0
    for p, c in enumerate(works.commission_of):
        ready = run.ready[p]
        last[c] = ready if last[c] is None else max(last[c], ready)
        if run.cursor[p] < works.last[p]:
            whole[c] = False
            left = sum(task.minutes for task in works.tasks[run.cursor[p] : works.last[p]])
            unplanned += left * 60 * MICROS - run.planned[p]
    late, completion, elapsed, unfinished = 0, 0, 0, 0
    for c, finish in enumerate(last):
        if finish is None:
            continue
        if not whole[c]:
            unfinished += works.weight[c]
            continue
        if works.wanted[c] is not None and finish > works.wanted[c]:
            late += works.weight[c] * (finish - works.wanted[c])
        completion += max(0, finish - works.now)
        if first[c] is not None:
            elapsed += max(0, finish - first[c])
    return Score(
        late=late / HOUR,
        completion=completion / HOUR,
        set_ups=_set_ups(works, run) if works.has_mixes else 0,
        turnings=_turnings(works, run) if works.problem.faces else 0,
        cuts=_cuts(works, run),
        elapsed=elapsed / HOUR,
        moved=_moved(run, near) if near else 0.0,
        unfinished=unfinished,
        unplanned=unplanned / HOUR,
    )


def _first_touches(works: Works, run: Run) -> list[int | None]:
    first: list[int | None] = [None] * len(works.commissions)
    for p, touched in enumerate(works.touched):
        c = works.commission_of[p]
        if touched is not None and (first[c] is None or touched < first[c]):
            first[c] = touched
    panel_of, commission_of = works.panel_of, works.commission_of
    for start, _, t, _ in run.sittings:
        c = commission_of[panel_of[t]]
        if first[c] is None or start < first[c]:
            first[c] = start
    return first


def _set_ups(works: Works, run: Run) -> int:
    return len(
        {
            (place, works.hands[place].day(start), works.mix[t])
            for start, _, t, place in run.sittings
            if works.mix[t] >= 0
        }
    )


def _cuts(works: Works, run: Run) -> int:
    sat: dict[int, int] = {}
    work: dict[int, int] = {}
    for start, end, t, _ in run.sittings:
        sat[t] = sat.get(t, 0) + 1
        work[t] = work.get(t, 0) + end - start
    longest, slot = works.longest, works.slot
    return sum(max(0, n - -(-work[t] // (longest[t] * slot))) for t, n in sat.items() if n > 1)


def _turnings(works: Works, run: Run) -> int:
    people = works.problem.people
    lying: dict[int, int] = {}
    turned = 0
    for _, _, _, face in sorted(
        (start, end, people[place].key, face)
        for start, end, t, place in run.sittings
        if (face := works.face_of[works.panel_of[t]]) >= 0
    ):
        piece = works.piece[face]
        turned += lying.get(piece, face) != face
        lying[piece] = face
    return turned


def _moved(run: Run, near: dict[int, int]) -> float:
    starts: dict[int, int] = {}
    for start, _, t, _ in run.sittings:
        if t in near:
            starts[t] = min(start, starts.get(t, start))
    moves = (start - near[t] for t, start in starts.items())
    return sum(by if by > 0 else -EARLIER * by for by in moves) / DAY
