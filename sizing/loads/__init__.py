"""What a house draws: worksheet, bills, motor starts and service load calculations."""

from sizing.loads.hours import LoadsHours
from sizing.loads.library import LibraryItem, appliance_library
from sizing.loads.study import study_loads

__all__ = ["LibraryItem", "LoadsHours", "appliance_library", "study_loads"]
