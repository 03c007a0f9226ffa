"""The three rules that most values of a request have to keep."""

from __future__ import annotations

from collections.abc import Iterator

from sizing.errors import InputError


def within(path: str, value: float | None, low: float, high: float, unit: str = "") -> Iterator[InputError]:
    if value is not None and not low <= value <= high:
        tail = f" {unit}" if unit else ""
        yield InputError(path, f"{value:g}{tail} is outside {low:g} to {high:g}{tail}")


def positive(path: str, value: float, high: float, unit: str) -> Iterator[InputError]:
    if not 0.0 < value <= high:
        yield InputError(path, f"{value:g} {unit} must be above 0 and at most {high:g} {unit}")


def choice(path: str, value: str, allowed: tuple[str, ...]) -> Iterator[InputError]:
    if value not in allowed:
        yield InputError(path, f"{value!r} is none of {', '.join(allowed)}")
