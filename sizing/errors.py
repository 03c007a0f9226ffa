"""What the sizing module says when it is given something it cannot work with."""

from __future__ import annotations


class InputError(ValueError):
    """A value that was given can't be used.

    ``field`` is the dotted path of the value in the request (``"planes[0].tilt_deg"``), so that whoever typed it can
    be shown the message at the place where it was typed; ``message`` is one plain sentence.
    """

    def __init__(self, field: str, message: str) -> None:
        super().__init__(f"{field}: {message}")
        self.field = field
        self.message = message


class InputErrors(ValueError):
    """Every problem found in one request, in the order of the request (never only the first)."""

    def __init__(self, problems: list[InputError]) -> None:
        super().__init__("; ".join(str(problem) for problem in problems))
        self.problems = tuple(problems)
