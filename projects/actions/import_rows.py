"""Rows of a file, each read to a lead or to the reasons against it."""

from __future__ import annotations

import hashlib
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field
from typing import Any

from projects import places
from projects.actions import opening
from projects.actions.contact import phone_digits
from projects.actions.lead_columns import BY_KEY, BadCell
from projects.actions.problems import Problems
from projects.models import ImportedLead, Job, LeadImport, Person, Role
from projects.words import plain

AT_ONCE = 400
"""How many keys are asked for in one query: databases bound the number of parameters."""


@dataclass
class Row:
    number: int
    key: str = ""
    lead: opening.Lead | None = None
    problems: list[tuple[int, str, str, str]] = field(default_factory=list)
    """(row, heading, what stands there, why)"""
    repeated: bool = False
    known: str = ""
    """Words: which household of the book, or of an earlier row, it seems to be."""

    @property
    def comes_in(self) -> bool:
        return self.lead is not None and not (self.problems or self.repeated or self.known)


class Reader:
    def __init__(self, batch: LeadImport) -> None:
        self.batch = batch
        self.columns = {int(place): BY_KEY[key] for place, key in batch.columns.items()}
        self.place_of = {column.key: place for place, column in self.columns.items()}
        self.people = _people()

    def read(self, rows: Iterable[Sequence[Any]]) -> list[Row]:
        """In the order of the file; asks the database a few times however many rows there are."""
        found = [self._row(number, cells) for number, cells in rows]
        self._mark_repeated(found)
        if not self.batch.known_too:
            self._mark_known(found)
        return found

    def _row(self, number: int, cells: Sequence[str]) -> Row:
        row, told = Row(number), {}
        for place, column in self.columns.items():
            if not cells[place]:
                continue
            try:
                told[column.key] = column.read(cells[place])
            except BadCell as error:
                row.problems.append((number, self.batch.headings[place], cells[place], str(error)))
        row.key = self._key(told)
        self._person(row, told)
        self._complete(told)
        told.pop("key", None)
        unread = {heading for _, heading, *_ in row.problems}
        if told["zip_code"] and not told["state"]:
            heading, cell = self._where("zip_code", cells)
            row.problems.append((number, heading, cell, "No place known here has this ZIP."))
            unread |= {heading, *(self._where(key, cells)[0] for key in ("city", "state"))}
        try:
            row.lead = opening.cleaned(**told)
        except Problems as problems:
            for problem in problems:
                heading, cell = self._where(problem.field, cells)
                if heading not in unread:
                    row.problems.append((number, heading, cell, problem.message))
        return row

    def _key(self, told: dict[str, Any]) -> str:
        if told.get("key"):
            return f"{self.batch.origin}:{told['key']}" if len(told["key"]) <= 36 else self._hash([told["key"]])
        return self._hash([plain(str(told.get(key, ""))) for key in ("name", "first_name", "last_name", "phone",
                                                                     "email", "street", "zip_code")])  # fmt: skip

    def _hash(self, words: list[str]) -> str:
        return "#" + hashlib.sha256("\x1f".join([self.batch.origin, *words]).encode()).hexdigest()

    def _person(self, row: Row, told: dict[str, Any]) -> None:
        name = told.pop("assigned_to", "")
        if not name:
            return
        person = self.people.get(plain(name))
        if person is None:
            heading, cell = self._heading("assigned_to"), name
            row.problems.append((row.number, heading, cell, "Nobody of this name works here (or two do)."))
        told["assigned_to"] = person

    def _complete(self, told: dict[str, Any]) -> None:
        """Name from its two parts, town and state from the ZIP, the file's source: where the row doesn't say it."""
        parts = [told.pop("first_name", ""), told.pop("last_name", "")]
        told["name"] = told.get("name") or " ".join(part for part in parts if part)
        found = places.named(told.get("zip_code", ""))
        for key, known in (("city", found and found[0]), ("state", found and found[1])):
            told[key] = told.get(key) or known or ""
        told.setdefault("street", "")
        told.setdefault("zip_code", "")
        if self.batch.source:
            told.setdefault("source", self.batch.source)

    def _where(self, key: str, cells: Sequence[str]) -> tuple[str, str]:
        """The heading and the cell to blame. A name may stand in two columns; a state may come from the ZIP."""
        spare = {"name": "last_name", "state": "zip_code", "city": "zip_code", "phone": "email"}
        place = self.place_of.get(key, self.place_of.get(spare.get(key, "")))
        if place is None:
            return BY_KEY[key].title if key in BY_KEY else key, ""
        return self.batch.headings[place], cells[place]

    def _heading(self, key: str) -> str:
        return self.batch.headings[self.place_of[key]]

    def _mark_repeated(self, rows: Sequence[Row]) -> None:
        before = _in_portions(ImportedLead.objects.all(), "key", [row.key for row in rows], "key", "lead_import", "row")
        came_in = {key: (batch, number) for key, batch, number in before}
        first = {key: number for key, (batch, number) in came_in.items() if batch == self.batch.pk}
        for row in rows:
            row.repeated = row.key in came_in and row.key not in first
            if row.repeated:
                row.problems.clear()
            elif row.key in first and row.lead is not None:
                heading = self._heading("key") if "key" in self.place_of else "the whole row"
                words = f"The same stands in row {first[row.key]} already."
                row.problems.append((row.number, heading, row.key.partition(":")[2], words))
            first.setdefault(row.key, row.number)

    def _mark_known(self, rows: Sequence[Row]) -> None:
        """By phone, e-mail, or the same name at the same ZIP: in the book, or further up in the file."""
        wanted = [row for row in rows if row.comes_in]
        seen = _jobs_by_trait([trait for row in wanted for trait in _traits(row.lead)])
        for row in wanted:
            traits = _traits(row.lead)
            hit = next((trait for trait in traits if trait in seen), None)
            if hit is not None:
                row.known = f"{WHAT[hit[0]]} as {seen[hit]}"
                continue
            for trait in traits:
                seen[trait] = f"row {row.number}"


WHAT = {"phone": "The same phone", "email": "The same e-mail", "name": "The same name and ZIP"}
Trait = tuple[str, str, str]


def _traits(lead: opening.Lead | None) -> list[Trait]:
    assert lead is not None
    customer = lead.customer
    traits = [("name", plain(customer["name"])[:120], lead.site["zip_code"][:5])]
    if customer["email"]:
        traits.insert(0, ("email", customer["email"], ""))
    if customer["phone_digits"]:
        traits.insert(0, ("phone", phone_digits(customer["phone"]), ""))
    return traits


def _jobs_by_trait(traits: Sequence[Trait]) -> dict[Trait, str]:
    """ "job 0147" by trait; the newest job where several share it."""
    asked: dict[str, set[str]] = {"phone": set(), "email": set(), "name": set()}
    for kind, value, _ in traits:
        asked[kind].add(value)
    found: dict[Trait, str] = {}
    columns = {"phone": "customer__phone_digits", "email": "customer__email", "name": "household_key"}
    jobs = Job.objects.order_by("number")
    for kind, column in columns.items():
        for value, zip_code, number in _in_portions(jobs, column, asked[kind], column, "site__zip_code", "number"):
            found[(kind, value, zip_code[:5] if kind == "name" else "")] = f"job {number:04d}"
    return found


def _in_portions(rows: Any, column: str, values: Iterable[str], *wanted: str) -> Iterable[tuple[Any, ...]]:
    ordered = sorted(values)
    for start in range(0, len(ordered), AT_ONCE):
        yield from rows.filter(**{f"{column}__in": ordered[start : start + AT_ONCE]}).values_list(*wanted)


def _people() -> dict[str, Person | None]:
    """By name and by sign-in name; None where two share it."""
    found: dict[str, Person | None] = {}
    for person in Person.objects.filter(is_active=True).exclude(role=Role.LICENCE_HOLDER):
        for name in {plain(person.name), plain(person.username)}:
            found[name] = None if name in found else person
    return found
