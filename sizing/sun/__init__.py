"""Where the sun stands and what stands in front of it."""
