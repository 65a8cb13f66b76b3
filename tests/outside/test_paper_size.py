"""The paper an estimate is printed on, against the world's published habits and sizes."""

import pytest

from quotes.papers import paper_size
from quotes.pdf.paper import SIZES
from studio.models import Studio

# Unicode CLDR 48.2, supplemental data, measurementData.json: paperSize is US-Letter in these
# territories and A4 in 001, the world.
LETTER = {"BZ", "CA", "CL", "CO", "CR", "GT", "MX", "NI", "PA", "PH", "PR", "SV", "US", "VE"}
LOCALES = {"es_CL", "en_CA", "fr_CA", "en_US", "es_VE", "es_CR", "fil_PH", "es_AR", "pt_BR"}
LOCALES |= {"en_GB", "de_DE", "ja_JP", "en_AU", "en_IE", "nb_NO", "fr", "en"}


@pytest.mark.parametrize("locale", sorted(LOCALES))
def test_the_paper_is_that_of_the_studios_country(locale: str) -> None:
    expected = "Letter" if locale.rpartition("_")[2] in LETTER else "A4"
    assert paper_size(Studio(locale=locale)) == expected


def test_the_papers_have_their_standard_sizes() -> None:
    # ISO 216: A4 is 210 by 297 mm. ANSI/ASME Y14.1: size A is 8.5 by 11 inches.
    assert SIZES["A4"] == pytest.approx((210 / 25.4 * 72, 297 / 25.4 * 72))
    assert SIZES["Letter"] == (8.5 * 72, 11 * 72)
