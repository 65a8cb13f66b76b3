from studio.models.hours import DatedHours, DayOff, WorkingWindow
from studio.models.once import Once
from studio.models.person import Person
from studio.models.record import Record, StudioQuerySet
from studio.models.studio import Studio

__all__ = [
    "DatedHours", "DayOff", "Once", "Person", "Record", "Studio", "StudioQuerySet", "WorkingWindow",
]  # fmt: skip
