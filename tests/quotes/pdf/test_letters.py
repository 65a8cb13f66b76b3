"""Letters: what the papers can print, and what becomes of the rest."""

import unicodedata

import pytest
from hypothesis import given
from hypothesis import strategies as st

from quotes.pdf.fonts import BOLD, REGULAR, missing_letters, printable, width_of
from quotes.pdf.missing import MissingLettersError
from quotes.pdf.paper import fitted


@pytest.mark.parametrize(
    "text", ["Łukasz", "Ωμέγα", "Жанна", "Kővári", "Þórdís", "Đặng", "Çağrı", "½ × 3⅛", "€ £ ₺ ₹"]
)
def test_names_in_latin_greek_and_cyrillic_are_printed_as_they_are(text: str) -> None:
    assert missing_letters(text) == ()
    assert printable(text) == text


@pytest.mark.parametrize(
    ("text", "printed"),
    [
        ("−5 °C", "–5 °C"),
        ("⌀ 30 cm", "Ø 30 cm"),
        ("1\u202f204", "1\u00a0204"),
        ("o\u030b", "ő"),
        ("Red \U0001f3a8 chest", "Red  chest"),
        ("a\u0000b\rc", "abc"),
    ],
)
def test_what_has_no_glyph_becomes_its_nearest_thing(text: str, printed: str) -> None:
    assert printable(text) == printed


def test_letters_of_another_script_are_named_once_each_in_their_order() -> None:
    assert missing_letters("中田 and 田") == ("中", "田")
    with pytest.raises(MissingLettersError, match="no letters for 中 田"):
        printable("中田 and 田")


@given(st.text(max_size=30))
def test_every_text_is_either_printed_or_its_letters_are_named(text: str) -> None:
    missing = missing_letters(text)
    assert set(missing) <= set(unicodedata.normalize("NFC", text))
    if missing:
        with pytest.raises(MissingLettersError):
            printable(text)
    else:
        assert missing_letters(printable(text)) == ()
        assert printable(printable(text)) == printable(text)


def test_all_digits_are_equally_wide_in_both_weights() -> None:
    widths = {width_of(digit, font, 10) for digit in "0123456789" for font in (REGULAR, BOLD)}
    assert len(widths) == 1


@given(st.text(st.sampled_from("abc Łő"), max_size=60), st.floats(20, 200))
def test_a_line_is_cut_with_an_ellipsis_where_its_room_ends(text: str, room: float) -> None:
    cut = fitted(text, REGULAR, 9, room)
    assert width_of(cut, REGULAR, 9) <= room
    assert cut == " ".join(text.split()) or cut.endswith("…")
