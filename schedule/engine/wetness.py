"""What is wet while a plan is being made: faces that cannot be laid down, parts on the rack."""

from schedule.engine.works import Works

Wet = tuple[int, int, int, int]
"""A panel, worked from one instant, laid at another and dry at a third (microseconds)."""
EVER = -(1 << 62)


class Wetness:
    """The wet panels of one planning run, those that are pinned ahead included from the first."""

    def __init__(self, works: Works) -> None:
        self.works = works
        self.on_face: list[list[Wet]] = [[] for _ in works.lies_on]
        self.racked: list[Wet] = []
        self.rack = works.problem.rack
        for p, until in enumerate(works.wet_until):
            if until > works.now:
                self._note((p, EVER, EVER, until))
        for t, numbers in works.pinned.items():
            for n in numbers:
                start, end = works.span(works.pins[n])
                self.note(t, start * works.slot, end * works.slot)

    def note(self, t: int, start: int, end: int) -> None:
        """Take down a sitting of task t that has been planned."""
        self._note((self.works.panel_of[t], start, end, end + self.works.wet[t]))

    def _note(self, wet: Wet) -> None:
        p, _, laid, dry = wet
        if (face := self.works.face_of[p]) >= 0:
            self.on_face[face].append(wet)
        if self.rack is not None and self.works.panels[p].rack and dry > laid:
            self.racked.append(wet)

    def dries(self) -> set[int]:
        """Return the instants at which something is dry that has been worked so far."""
        return {dry for wets in (*self.on_face, self.racked) for *_, dry in wets}

    def hinders(self, t: int, start: int, end: int) -> int:
        """Return an instant before which a sitting of task t had better not start; 0 for none.

        That is when what is in its way now will be dry, or done.
        """
        p = self.works.panel_of[t]
        again = 0
        if (face := self.works.face_of[p]) >= 0:
            again = self._turned(face, start, end, end + self.works.wet[t])
        if not again and self.rack is not None and self.works.panels[p].rack and self.works.wet[t]:
            again = self._full(p, start, end, end + self.works.wet[t])
        return again

    def _turned(self, face: int, start: int, end: int, dry: int) -> int:
        again = 0
        for beneath in self.works.lies_on[face]:
            for _, begins, _, dries in self.on_face[beneath]:
                if begins < end and start < dries:
                    again = max(again, dries)
        for above in self.works.borne_by[face]:
            for _, begins, ends, _ in self.on_face[above]:
                if begins < dry and start < ends:
                    again = max(again, ends)
        return again

    def _full(self, p: int, start: int, end: int, dry: int) -> int:
        panels = self.works.panels
        beside = [
            (panels[other].place, max(laid, end), dries)
            for other, _, laid, dries in self.racked
            if panels[other].place != panels[p].place and laid < dry and end < dries
        ]
        if len(beside) < self.rack:
            return 0
        for _, moment, _ in beside:
            if len({part for part, laid, dries in beside if laid <= moment < dries}) >= self.rack:
                return min(dries for *_, dries in beside) - (end - start)
        return 0
