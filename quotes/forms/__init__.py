"""Forms of money: the estimate's, and those of questions put to the programme."""

from quotes.forms.earliest import RoughForm
from quotes.forms.estimates import AllTheSameForm, ExtraForm, LateForm, LineForm
from quotes.forms.what_if import (
    AnotherPersonForm,
    GroundForm,
    OneMoreForm,
    OvertimeForm,
    RoomForm,
)

__all__ = [
    "AllTheSameForm", "AnotherPersonForm", "ExtraForm", "GroundForm", "LateForm", "LineForm",
    "OneMoreForm", "OvertimeForm", "RoomForm", "RoughForm",
]  # fmt: skip
