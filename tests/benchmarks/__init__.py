"""How fast sizing works, against plain references in the same process: ``python -m tests.benchmarks``."""
