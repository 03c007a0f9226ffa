"""Where a job's time goes and when it may be done: Kaplan-Meier curves, dates as ranges, and their score."""
