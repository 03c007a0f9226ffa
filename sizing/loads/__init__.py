"""What a house draws: worksheet, bills, motor starts and service load calculations."""

from sizing.loads.hours import LoadsHours
from sizing.loads.study import study_loads

__all__ = ["LoadsHours", "study_loads"]
