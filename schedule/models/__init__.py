from schedule.models.pin import Pin
from schedule.models.programme import (
    PlannedFinish,
    PlannedGate,
    PlannedSitting,
    Programme,
)
from schedule.models.reminder import Reminder
from schedule.models.weaving import Weaving

__all__ = [
    "Pin",
    "PlannedFinish",
    "PlannedGate",
    "PlannedSitting",
    "Programme",
    "Reminder",
    "Weaving",
]
