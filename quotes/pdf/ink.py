"""The inks of the studio's papers: linen, umber and verdigris, each readable as a grey."""

from reportlab.lib.colors import Color, HexColor

INK = HexColor("#2b2219")
UMBER = HexColor("#66523d")
LINE = HexColor("#d9cdb9")
VERDIGRIS = HexColor("#1f6f6a")
LINEN = HexColor("#f3ede2")
PAPER = HexColor("#ffffff")
WOOD = HexColor("#ead9c0")
GESSO = HexColor("#faf7f0")


def ink_of(hex_colour: str) -> Color:
    """A colour written as #rrggbb or #rgb. Raises ValueError for anything else."""
    digits = hex_colour.removeprefix("#")
    if len(digits) == 3:
        digits = "".join(2 * digit for digit in digits)
    if len(digits) != 6:
        raise ValueError(f"'{hex_colour}' is not a colour written as #rrggbb.")
    return HexColor(int(digits, 16))
