"""What a column of an office's old list may hold, and how its cells are read. The inverse of the job list's export."""

from __future__ import annotations

import re
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from datetime import datetime, time
from decimal import Decimal, InvalidOperation
from typing import Any

from django.utils import timezone

from projects.words import plain

DAY_FORMATS = ("%Y-%m-%d", "%m/%d/%Y", "%m/%d/%y", "%Y-%m-%d %H:%M", "%Y-%m-%dT%H:%M:%S", "%Y-%m-%d %H:%M:%S")
YES = frozenset({"yes", "y", "true", "1", "x", "si"})
NO = frozenset({"no", "n", "false", "0", ""})


class BadCell(ValueError):
    """The message says what would have been understood."""


@dataclass(frozen=True)
class Column:
    key: str
    title: str
    read: Callable[[str], Any]
    names: tuple[str, ...] = ()
    """Headings under which lists usually have it, beside title and key; in lower case."""

    def known_as(self, heading: str) -> bool:
        return _bare(heading) in {_bare(name) for name in (self.key, self.title, *self.names)}


def _bare(text: str) -> str:
    return re.sub(r"[^a-z0-9]+", "", plain(text))


def text(cell: str) -> str:
    return cell


def number(cell: str) -> float:
    try:
        return float(cell.replace(",", ""))
    except ValueError:
        raise BadCell("A number is expected, such as 9600.") from None


def whole(cell: str) -> int:
    value = number(cell)
    if not value.is_integer():
        raise BadCell("A whole number is expected.")
    return int(value)


def dollars(cell: str) -> Decimal:
    try:
        return Decimal(cell.replace("$", "").replace("USD", "").replace(",", "").strip())
    except InvalidOperation:
        raise BadCell("An amount in dollars and cents, such as 38420.50.") from None


def moment(cell: str) -> datetime:
    """Noon of the day, but never in the future."""
    for pattern in DAY_FORMATS:
        try:
            day = datetime.strptime(cell, pattern).date()
        except ValueError:
            continue
        noon = timezone.make_aware(datetime.combine(day, time(12)))
        now = timezone.localtime()
        return now if day == now.date() and noon > now else noon
    raise BadCell("A day is expected, such as 2026-11-20 or 11/20/2026.")


def yes_no(cell: str) -> bool:
    word = plain(cell)
    if word in YES:
        return True
    if word in NO:
        return False
    raise BadCell("Yes or no is expected.")


def one_of(words: Mapping[str, Any], expected: str) -> Callable[[str], Any]:
    def read(cell: str) -> Any:
        try:
            return words[plain(cell)]
        except KeyError:
            raise BadCell(expected) from None

    return read


def zip_code(cell: str) -> str:
    """Spreadsheets take a ZIP for a number and drop its leading zeros."""
    return cell.zfill(5) if cell.isdecimal() and len(cell) in (3, 4) else cell


def listed(cell: str) -> list[str]:
    return [word.strip() for word in re.split(r"[,;\n]", cell) if word.strip()]


OWNS = {"own": True, "owns": True, "owner": True, "rent": False, "rents": False, "renter": False, "tenant": False}
OWNS |= dict.fromkeys(YES, True) | dict.fromkeys(NO - {""}, False)
LANGUAGE = {"en": "en", "english": "en", "es": "es", "spanish": "es", "espanol": "es"}
GOAL = {"backup": "backup", "outages": "backup", "payback": "payback", "savings": "payback", "bill": "payback"}

COLUMNS: tuple[Column, ...] = (
    Column("key", "Their number", text, ("job", "id", "number", "lead id", "customer id", "ref", "reference")),
    Column("name", "Name", text, ("customer", "household", "full name", "customer name", "client", "homeowner")),
    Column("first_name", "First name", text, ("first", "given name")),
    Column("last_name", "Last name", text, ("last", "surname", "family name")),
    Column("phone", "Phone", text, ("telephone", "phone number", "mobile", "cell", "tel")),
    Column("email", "E-mail", text, ("mail", "email address", "e-mail address")),
    Column("street", "Street", text, ("address", "street address", "address 1", "address line 1", "site address")),
    Column("city", "City", text, ("town", "place")),
    Column("state", "State", text, ("st",)),
    Column("zip_code", "ZIP", zip_code, ("zip code", "zipcode", "postal code", "postcode")),
    Column("latitude_deg", "Latitude", number, ("lat",)),
    Column("longitude_deg", "Longitude", number, ("lon", "lng", "long")),
    Column("received_at", "Came in", moment, ("received", "date", "created", "lead date", "received on")),
    Column("source", "Heard of us through", text, ("source", "lead source")),
    Column("price_usd", "Price", dollars, ("price usd", "contract price", "amount", "total")),
    Column("assigned_to", "Looked after by", text, ("assigned to", "owner name", "salesperson", "assigned")),
    Column("preferred_language", "Speaks", one_of(LANGUAGE, "English or Spanish is expected."), ("language", "idioma")),
    Column("owns_home", "Home", one_of(OWNS, "Owns or rents is expected."), ("owns home", "own or rent", "homeowner")),
    Column("goal", "First of all", one_of(GOAL, "Backup or payback is expected."), ("goal", "interest")),
    Column("must_run", "What must run", listed, ("must run", "essential loads", "critical loads")),
    Column("yearly_kwh", "Use in a year (kWh)", number, ("yearly kwh", "annual kwh", "kwh", "usage", "yearly use")),
    Column("outage_days_wanted", "Outage to ride through (days)", number, ("outage days", "backup days")),
    Column("grid_available", "Utility power at the house", yes_no, ("grid", "grid available", "utility power")),
    Column("wants_loan", "Wants a loan", yes_no, ("loan", "financing")),
    Column("warranty_years_wanted", "Warranty wanted (years)", whole, ("warranty", "warranty years")),
    Column("note", "Note", text, ("notes", "comment", "comments", "remarks")),
)
BY_KEY = {column.key: column for column in COLUMNS}


def guessed(headings: Sequence[str]) -> dict[int, str]:
    """Which column of the file holds what, as far as its heading says so; each at most once."""
    found: dict[int, str] = {}
    for place, heading in enumerate(headings):
        for column in COLUMNS:
            if column.key not in found.values() and column.known_as(heading):
                found[place] = column.key
                break
    return found


def missing(keys: frozenset[str]) -> list[str]:
    """What no lead can do without and no column holds, in sentences."""
    found = []
    if not keys & {"name", "last_name"}:
        found.append("No column holds the household’s name.")
    if not keys & {"phone", "email"}:
        found.append("No column holds a phone number or an e-mail address.")
    if "street" not in keys:
        found.append("No column holds the street.")
    if "zip_code" not in keys:
        found.append("No column holds the ZIP.")
    return found
