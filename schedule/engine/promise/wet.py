"""What is wet in every scenario: faces that wait for others to dry, and room on the rack."""

from collections.abc import Sequence

import numpy as np

from schedule.engine.problem import Problem
from schedule.engine.promise.steps import Step, Steps

SPARE = 3
"""Parts that may be on the rack beyond its room: those wet on the first day, or being worked on."""


class Wet:
    """From which wall slot each face may be worked on, and when places on the rack are free.

    Scenarios run along the columns. `faces` and `racks` say whether there is anything to mind.
    """

    def __init__(self, problem: Problem, steps: Steps, scenarios: int, never: int) -> None:
        self.never = never
        self.columns = np.arange(scenarios)
        self.scenarios = scenarios
        panels = problem.panels
        sat = [*steps.steps, None]
        self._lay_out_faces(problem, sat)
        self.rack = problem.rack or 0
        parts = [panel.rack and problem.rack is not None for panel in panels]
        places = [panel.place for panel in panels]
        number = {place: n for n, place in enumerate(dict.fromkeys(places))}
        on_rack = {place for place, part in zip(places, parts, strict=True) if part}
        self.racks = len(on_rack) > self.rack > 0
        self.shared = len(on_rack) < sum(parts)
        self.racked = np.array([bool(step and parts[step.panel]) for step in sat])
        # Only whoever takes a part up needs a place for it: later it has one.
        asks = [bool(step and parts[step.panel] and step.opens and not step.free) for step in sat]
        self.asks = np.array(asks)
        self.lead = np.array([step.size if step else 0 for step in sat], dtype=np.int32)
        self.part = np.array([number[places[step.panel]] if step else -1 for step in sat])
        rows = self.rack + SPARE if self.racks else 0
        self.until = np.zeros((rows, scenarios), dtype=np.int32)
        self.place: np.ndarray | None = None
        self.holder = np.full((rows, scenarios), -1, dtype=np.int32)
        for panel, wet in sorted(steps.wet.items()):
            until = self._slots(wet)
            if self.racks and parts[panel]:
                self._put(np.full(scenarios, number[places[panel]]), until, self.columns)
            if self.faces and panels[panel].face:
                face = np.full(scenarios, self.numbers[panels[panel].face])
                self._spread(self.borne_by, face, until, self.columns)

    def _lay_out_faces(self, problem: Problem, sat: Sequence[Step | None]) -> None:
        self.numbers = {face.key: n for n, face in enumerate(problem.faces)}
        none = len(problem.faces)
        lies_on = [sorted(self.numbers[key] for key in face.lies_on) for face in problem.faces]
        borne_by = [[n for n, on in enumerate(lies_on) if face in on] for face in range(none)]
        used = {panel.face for panel in problem.panels} - {""}
        self.faces = any(lies_on[self.numbers[face]] for face in used)
        self.lies_on, self.borne_by = _table(lies_on, none), _table(borne_by, none)
        keys = [problem.panels[step.panel].face if step else "" for step in sat]
        self.face = np.array([self.numbers.get(key, none) for key in keys])
        running = [bool(step and step.free) for step in sat]
        # A sitting that runs goes on, whatever is wet.
        self.hindered = np.where(running, none + 1, self.face)
        self.free = np.zeros((none + 2) * self.scenarios, dtype=np.int32)

    def _slots(self, moments: np.ndarray) -> np.ndarray:
        """Return the first wall slots from moments on."""
        return np.clip(np.ceil(moments - 1e-9), 0, self.never).astype(np.int32)

    def clear(self, queue: np.ndarray, ready: np.ndarray) -> np.ndarray:
        """Return from which wall slot on steps may start that are ready at one, paint in mind."""
        if self.faces:
            cells = self.hindered.take(queue) * self.scenarios + self.columns
            ready = np.maximum(ready, self.free.take(cells))
        if self.racks:
            asks = self.asks.take(queue)
            ready = np.maximum(ready, (self._free_place(queue) - self.lead.take(queue)) * asks)
        return ready

    def note(self, step: np.ndarray, end: np.ndarray, dry: np.ndarray, columns: np.ndarray) -> None:
        """Take down sittings of steps, one a column, that end and are touchable at wall slots."""
        if self.faces:
            face = self.face.take(step)
            self._spread(self.borne_by, face, self._slots(dry), columns)
            self._spread(self.lies_on, face, self._slots(end), columns)
        if self.racks:
            on = np.nonzero(self.racked.take(step) & (dry > end))[0]
            if len(on):
                self._put(self.part.take(step[on]), self._slots(dry[on]), columns[on])

    def _spread(
        self, table: np.ndarray, face: np.ndarray, until: np.ndarray, columns: np.ndarray
    ) -> None:
        """Let the faces that the table gives for each column's face wait until a wall slot."""
        for others in table:
            cells = others.take(face) * self.scenarios + columns
            self.free[cells] = np.maximum(self.free.take(cells), until)
        self.free[-2 * self.scenarios :] = 0

    def _free_place(self, queue: np.ndarray) -> np.ndarray:
        """Return from which wall slot a place is free for steps; a part that has one keeps it."""
        if self.shared:
            own = self.holder == self.part.take(queue)[..., None, :]
            return np.partition(np.where(own, 0, self.until), SPARE, axis=-2)[..., SPARE, :]
        if self.place is None:
            self.place = np.partition(self.until, SPARE, axis=0)[SPARE]
        return self.place

    def _put(self, part: np.ndarray, until: np.ndarray, columns: np.ndarray) -> None:
        """Put parts on the rack, each where it is already or where longest nothing is."""
        held, until_now = self.holder, self.until
        if len(columns) < self.scenarios:
            held, until_now = held[:, columns], until_now[:, columns]
        row = np.where(held == part, -1, until_now).argmin(axis=0)
        if self.shared:
            # Of several panels on a part the last to dry frees its place.
            own = self.holder[row, columns] == part
            until = np.where(own, np.maximum(until, self.until[row, columns]), until)
        self.place = None
        self.holder[row, columns] = part
        self.until[row, columns] = until


def _table(lists: Sequence[Sequence[int]], none: int) -> np.ndarray:
    """Return lists of faces as columns of equal length, filled up with none, and none's own."""
    longest = max(map(len, lists), default=0)
    rows = [[*row, *[none] * (longest - len(row))] for row in [*lists, []]]
    return np.array(rows).reshape(len(rows), longest).T.copy()
