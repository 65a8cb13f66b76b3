"""How much room words take in a drawing, before any font is known, and which ink they need.

Widths are a careful guess in ems: a little wide, so that words end before their room does.
"""

from unicodedata import combining, east_asian_width

NARROW = frozenset("iljtfrI.,:;'|!()[]·’ -")
WIDE = frozenset("mwMWQO@%—")


def letters_width(text: str, size: float) -> float:
    """Width of `text` set at `size`, in the unit of `size`."""
    return size * sum(_ems(letter) for letter in text)


def fit(text: str, width: float, size: float) -> str:
    """`text`, or as much of it as `width` holds with an ellipsis at its end."""
    text = " ".join(text.split())
    if letters_width(text, size) <= width:
        return text
    while text and letters_width(text + "…", size) > width:
        text = text[:-1]
    return text.rstrip(" ,·") + "…"


def wrap(text: str, width: float, size: float, most: int = 2) -> tuple[str, ...]:
    """`text` in at most `most` lines of `width`; what does not fit ends in an ellipsis."""
    words = text.split()
    lines: list[str] = []
    while words and len(lines) < most - 1:
        taken = words.pop(0)
        while words and letters_width(f"{taken} {words[0]}", size) <= width:
            taken = f"{taken} {words.pop(0)}"
        lines.append(fit(taken, width, size))
    if words:
        lines.append(fit(" ".join(words), width, size))
    return tuple(lines)


def is_dark(colour: str) -> bool:
    """Whether light letters read better on a hex colour than dark ones (WCAG 2 luminance)."""
    digits = colour.lstrip("#")
    if len(digits) == 3:
        digits = "".join(2 * digit for digit in digits)
    try:
        parts = [int(digits[place : place + 2], 16) / 255 for place in (0, 2, 4)]
    except ValueError:
        return False
    red, green, blue = (
        part / 12.92 if part <= 0.04045 else ((part + 0.055) / 1.055) ** 2.4 for part in parts
    )
    return 0.2126 * red + 0.7152 * green + 0.0722 * blue < 0.19


def _ems(letter: str) -> float:
    if combining(letter):
        return 0
    if east_asian_width(letter) in "WF":
        return 1.0
    if letter in NARROW:
        return 0.34
    if letter in WIDE:
        return 0.92
    return 0.68 if letter.isupper() else 0.57
