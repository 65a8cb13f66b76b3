from studio.models.hours import DayOff, WorkingWindow
from studio.models.once import Once
from studio.models.person import Person
from studio.models.record import Record, StudioQuerySet
from studio.models.studio import Studio

__all__ = ["DayOff", "Once", "Person", "Record", "Studio", "StudioQuerySet", "WorkingWindow"]
