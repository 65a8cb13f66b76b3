"""What the tests of the record share."""

import pytest

from jobs.models import Panel
from tests.cast import job


@pytest.fixture
def panel_with(anna):
    """Make a panel on a sound painted piece, with no finding but what a test puts there."""

    def make(*steps, **piece) -> Panel:
        panel = job(anna.studio, steps=steps)
        given = {"material": "hardwood", "finish": "painted", **piece}
        type(panel.surface.piece).objects.filter(pk=panel.surface.piece_id).update(**given)
        return Panel.objects.get(pk=panel.pk)

    return make
