from quotes.models.estimate import Estimate, EstimateLine
from quotes.models.extra import ExtraLine
from quotes.models.override import LineOverride

__all__ = ["Estimate", "EstimateLine", "ExtraLine", "LineOverride"]
