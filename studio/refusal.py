"""A 'no' in the painter's words."""


class Refused(Exception):  # noqa: N818 (it is an answer to a person, not an error of the program)
    """A verb cannot be done. `sentence` says why and what to do; `field` is where it belongs."""

    def __init__(self, sentence: str, field: str | None = None) -> None:
        super().__init__(sentence)
        self.sentence = sentence
        self.field = field


class Stale(Refused):
    """The record has moved on since its form was drawn."""
