"""Strings, circuits and the point of connection by the National Electrical Code, with every table as data."""

from sizing.electrical.study import study_electrical

__all__ = ["study_electrical"]
