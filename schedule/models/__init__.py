from schedule.models.programme import (
    PlannedFinish,
    PlannedGate,
    PlannedSitting,
    Programme,
)
from schedule.models.reminder import Reminder

__all__ = ["PlannedFinish", "PlannedGate", "PlannedSitting", "Programme", "Reminder"]
