"""A home show's cards, brought in from a file: some became leads, one household is known, one card names no number."""

from __future__ import annotations

from datetime import date

from paperwork.demo.households import HERE
from projects.actions import importing
from projects.actions.lead_columns import guessed
from projects.models import LeadImport, Person

FILE = "leads-home-show.csv"


def home_show(*, actor: Person, today: date) -> LeadImport:
    text = (HERE / FILE).read_text(encoding="utf-8")
    text = text.replace("{today}", f"{today:%m/%d/%Y}")
    batch = importing.begin_import(actor=actor, data=text.encode(), filename=FILE)
    columns = guessed(batch.headings)
    importing.try_import(actor=actor, lead_import=batch, columns=columns, source="fair", origin="Home show")
    return importing.bring_in(actor=actor, lead_import=batch)
