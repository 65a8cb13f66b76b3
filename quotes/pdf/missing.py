"""What a paper cannot print, kept apart so that a page can catch it without the PDF library."""


class MissingLettersError(ValueError):
    """Letters that no paper can print; `letters` holds them in the order met."""

    def __init__(self, letters: tuple[str, ...]) -> None:
        self.letters = letters
        super().__init__(
            f"The paper has no letters for {' '.join(letters)}."
            " Write this in Latin, Greek or Cyrillic letters."
        )
