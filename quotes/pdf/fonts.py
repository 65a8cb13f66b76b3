"""The letters of the studio's papers: one embedded open-licence family, and what it lacks.

The family (SIL Open Font License) comes out of an installed package, so that a paper looks the
same on every machine and no reader has to have the font.
"""

import io
import unicodedata
from functools import cache

import pymupdf_fonts
from reportlab.pdfbase import pdfmetrics
from reportlab.pdfbase.ttfonts import TTFont

from quotes.pdf.missing import MissingLettersError

REGULAR, BOLD, ITALIC, BOLD_ITALIC = "Paper", "Paper-Bold", "Paper-Italic", "Paper-BoldItalic"
_FILES = {REGULAR: "notos", BOLD: "notosbo", ITALIC: "notosit", BOLD_ITALIC: "notosbi"}

_NEAREST = {
    "\u2212": "–",  # minus sign
    "\u2192": "–",  # arrows
    "\u2190": "–",
    "\u2713": "√",  # ticks
    "\u2714": "√",
    "\u2300": "Ø",  # diameter
    "\u2007": "\u00a0",  # figure space
    # Text is broken at a narrow no-break space when a paragraph is wrapped, at U+00A0 it is not.
    "\u202f": "\u00a0",
}
_DECORATION = {"So", "Sk", "Cf", "Cc", "Co", "Cn", "Mn", "Me"}
"""Unicode categories of pictures, joiners, controls and lone accents: left out without a glyph."""


@cache
def register() -> None:
    """Make the family known to reportlab, once in a process."""
    for name, file in _FILES.items():
        pdfmetrics.registerFont(TTFont(name, io.BytesIO(pymupdf_fonts.myfont(file))))
    pdfmetrics.registerFontFamily(REGULAR, REGULAR, BOLD, ITALIC, BOLD_ITALIC)


@cache
def _known() -> frozenset[str]:
    register()
    faces = [pdfmetrics.getFont(name).face for name in _FILES]
    return frozenset.intersection(*(frozenset(map(chr, face.charToGlyph)) for face in faces))


@cache
def _nearest(letter: str) -> str | None:
    """What is printed for one letter: itself, its nearest thing, "" for decoration, or None."""
    letter = _NEAREST.get(letter, letter)
    if unicodedata.category(letter) == "Cc":
        return letter if letter in "\n\t" else ""
    if letter in _known():
        return letter
    plain = "".join(
        part for part in unicodedata.normalize("NFKD", letter) if not unicodedata.combining(part)
    )
    if plain and plain != letter and all(part in _known() for part in plain):
        return plain
    return "" if unicodedata.category(letter) in _DECORATION else None


def missing_letters(text: str) -> tuple[str, ...]:
    """The letters of the text that can be printed neither as they are nor as something near."""
    composed = unicodedata.normalize("NFC", text)
    return tuple(dict.fromkeys(letter for letter in composed if _nearest(letter) is None))


def printable(text: str) -> str:
    """The text in letters that the family has. Raises MissingLettersError where it has none near.

    Pictures (emoji) and control marks without a glyph are left out, a letter with an accent that
    the family lacks loses the accent, and a sign such as the minus becomes its nearest neighbour.
    """
    if missing := missing_letters(text):
        raise MissingLettersError(missing)
    return "".join(_nearest(letter) or "" for letter in unicodedata.normalize("NFC", text))


def width_of(text: str, font: str, size: float) -> float:
    """The width of a line of text in points."""
    register()
    return pdfmetrics.stringWidth(text, font, size)
