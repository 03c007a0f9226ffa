"""What an action says when it can't be done: every reason at once, each at the field where it was typed."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass

from django.core.exceptions import PermissionDenied


@dataclass(frozen=True)
class Problem:
    field: str
    """Name of the action's argument; empty where no single one is to blame."""
    message: str


class Problems(Exception):
    """The facts were not recorded; iterate for the reasons."""

    def __init__(self, problems: Iterable[Problem]) -> None:
        self.problems = tuple(problems)
        super().__init__("; ".join(problem.message for problem in self.problems))

    def __iter__(self) -> Iterator[Problem]:
        return iter(self.problems)


class NotAllowed(PermissionDenied):
    """This person's role may not do that."""


def refuse_if(problems: Iterable[Problem]) -> None:
    found = tuple(problems)
    if found:
        raise Problems(found)
