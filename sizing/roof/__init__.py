"""Where modules go on each plane: rows, keep-clear zones for the fire service, chimneys and vents."""

from sizing.roof.study import study_roof

__all__ = ["study_roof"]
