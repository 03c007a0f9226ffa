"""What happens when the grid is down: ride-through, off-grid years, battery arithmetic."""

from sizing.backup.study import study_backup

__all__ = ["study_backup"]
