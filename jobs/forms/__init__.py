"""Forms of the record."""

from jobs.forms.asking import ClientForm, CommissionForm
from jobs.forms.log import CaptionForm, PhotoForm, SittingForm, SwatchForm, TouchTestForm
from jobs.forms.materials import MixForm, MixPartSet, SupplyForm
from jobs.forms.methods import MethodChoiceForm, SheetForm, StageForm, StepForm
from jobs.forms.paint import own_row_form
from jobs.forms.people import KindsForm
from jobs.forms.places import MirrorForm, PanelForm, PieceForm, SurfaceForm

__all__ = [
    "CaptionForm", "ClientForm", "CommissionForm", "KindsForm", "MethodChoiceForm", "MirrorForm",
    "MixForm", "MixPartSet", "PanelForm", "PhotoForm", "PieceForm", "SheetForm", "SittingForm",
    "StageForm", "StepForm", "SupplyForm", "SurfaceForm", "SwatchForm", "TouchTestForm",
    "own_row_form",
]  # fmt: skip
