"""Forms of money: the estimate's, and those of questions put to the programme."""

from quotes.forms.earliest import RoughForm
from quotes.forms.estimates import AllTheSameForm, ExtraForm, LateForm, LineForm

__all__ = ["AllTheSameForm", "ExtraForm", "LateForm", "LineForm", "RoughForm"]
