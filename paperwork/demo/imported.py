"""A home show's cards, brought in from a file: some became leads, one household is known, one card names no number."""

from __future__ import annotations

from datetime import date, timedelta

from paperwork.demo.households import HERE
from projects.actions import importing
from projects.actions.lead_columns import guessed
from projects.models import LeadImport, Person

FILE = "leads-home-show.csv"


def home_show(*, actor: Person, today: date) -> LeadImport:
    text = (HERE / FILE).read_text(encoding="utf-8")
    for days in (0, 1):
        text = text.replace(f"{{days_ago_{days}}}", f"{today - timedelta(days=days):%m/%d/%Y}")
    batch = importing.begin_import(actor=actor, data=text.encode(), filename=FILE)
    columns = guessed(batch.headings)
    importing.try_import(actor=actor, lead_import=batch, columns=columns, source="fair", origin="Home show")
    return importing.bring_in(actor=actor, lead_import=batch)
