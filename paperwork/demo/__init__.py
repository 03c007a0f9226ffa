"""Loads the invented office of ``fixtures/demo``.

It stands beside the papers since its jobs have papers issued, and ``projects`` never asks ``paperwork``.
"""
