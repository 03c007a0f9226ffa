"""What the browser carries between the pages of a change on many jobs: signed, for one person, for half a day."""

from __future__ import annotations

from dataclasses import asdict, dataclass, field
from typing import Any

from django.core import signing

from projects.actions.bulk import Made, Tried
from projects.models import Person

SALT = "office.bulk"
HOURS = 12


class NotCarried(Exception):
    """Too old, changed on the way, or somebody else's."""


@dataclass
class TriedRow:
    pk: int
    number: int
    label: str
    name: str
    stamp: str
    differences: list[list[str]]
    """[label, was, becomes]"""
    problems: list[str]
    letter: bool

    @property
    def can(self) -> bool:
        return bool(self.differences)

    @classmethod
    def of(cls, tried: Tried) -> TriedRow:
        return cls(
            pk=tried.job.pk,
            number=tried.job.number,
            label=tried.job.label,
            name=tried.job.customer.name,
            stamp=tried.stamp,
            differences=[[each.label, each.was, each.becomes] for each in tried.differences],
            problems=[problem.message for problem in tried.problems],
            letter=tried.letter,
        )


@dataclass
class Carried:
    by: int
    change: str
    data: dict[str, str]
    """As it was typed."""
    listed: str
    """The list's conditions, for the way back."""
    ids: list[int]
    left: list[int] = field(default_factory=list)
    """Still to be tried."""
    rows: list[TriedRow] = field(default_factory=list)
    making: bool = False
    wanted: int = 0
    stamps: dict[int, str] = field(default_factory=dict)
    """Still to be changed."""
    made: dict[str, list[Any]] = field(default_factory=lambda: {"done": [], "already": [], "moved": [], "refused": []})

    def add(self, made: Made) -> None:
        self.stamps = dict(made.left)
        for name in ("done", "already", "moved"):
            self.made[name] += [job.number for job in getattr(made, name)]
        self.made["refused"] += [[each.job.number, [p.message for p in each.problems]] for each in made.refused]

    def signed(self) -> str:
        return signing.dumps(asdict(self), salt=SALT, compress=True)

    @classmethod
    def read(cls, text: str, person: Person) -> Carried:
        try:
            data = signing.loads(text, salt=SALT, max_age=HOURS * 3600)
        except signing.BadSignature as error:
            raise NotCarried from error
        if data["by"] != person.pk:
            raise NotCarried
        data["rows"] = [TriedRow(**row) for row in data["rows"]]
        data["stamps"] = {int(pk): stamp for pk, stamp in data["stamps"].items()}
        return cls(**data)
