from jobs.models.client import Client
from jobs.models.commission import Commission
from jobs.models.mix import Mix, MixPart
from jobs.models.overruling import Overruling
from jobs.models.own_value import OwnValue
from jobs.models.panel import Panel
from jobs.models.photo import Photo
from jobs.models.piece import Piece
from jobs.models.sheet import MethodSheet, SheetStage
from jobs.models.sitting import Sitting
from jobs.models.stage import Stage
from jobs.models.supply import Supply
from jobs.models.surface import Surface
from jobs.models.touch_test import TouchTest

__all__ = [
    "Client", "Commission", "MethodSheet", "Mix", "MixPart", "Overruling", "OwnValue",
    "Panel", "Photo", "Piece", "SheetStage", "Sitting", "Stage", "Supply", "Surface", "TouchTest",
]  # fmt: skip
