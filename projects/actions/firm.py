"""The firm's own name and address, as they stand at the head of every paper."""

from __future__ import annotations

from typing import Any

from django.db import transaction

from projects.actions.findings import Findings
from projects.actions.form_rows import saved_fields
from projects.actions.places_words import checked_state
from projects.actions.roles import OFFICE, require
from projects.models import OfficeProfile, Person


def save_firm(*, actor: Person, **fields: Any) -> OfficeProfile:
    """Sets the fields of OfficeProfile. Papers already issued keep the head they were issued with."""
    require(actor, OFFICE)
    with transaction.atomic():
        row = OfficeProfile.current() or OfficeProfile(pk=1)
        findings = Findings()
        if fields.get("state"):
            fields["state"] = checked_state(findings, fields["state"])
        saved_fields(findings, row, fields, exclude=["id"])
        findings.refuse()
        row.save()
    return row
