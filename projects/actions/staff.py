"""The people who work here, the licences work is done under, and the office's catalogue of equipment."""

from __future__ import annotations

from typing import Any

from django.contrib.auth.password_validation import validate_password
from django.core.exceptions import ValidationError
from django.db import transaction
from django.db.models import Model

from projects.actions.findings import Findings
from projects.actions.form_rows import saved_fields
from projects.actions.places_words import checked_state
from projects.actions.problems import NotAllowed
from projects.actions.roles import OFFICE, require
from projects.models import BatteryModel, GeneratorModel, Insurance, InverterModel, Licence, ModuleModel, Person, Role

CATALOGUE: dict[str, type[Model]] = {
    "module": ModuleModel,
    "inverter": InverterModel,
    "battery": BatteryModel,
    "generator": GeneratorModel,
}
_PERSON = frozenset({"username", "first_name", "last_name", "email", "phone", "role", "is_active"})
_MAY_BE_ZERO = frozenset(
    {"price_usd", "backup_power_w", "surge_w", "surge_s", "standby_w", "reserve_fraction", "warranty_years"}
)
_NEGATIVE = frozenset({"temp_coeff_pmax_pct_per_c", "temp_coeff_voc_pct_per_c"})
_FRACTIONS = frozenset({"efficiency", "round_trip_efficiency", "reserve_fraction"})


def save_person(*, actor: Person, instance: Person | None = None, password: str | None = None, **fields: Any) -> Person:
    """Adds a person or changes one. Nobody is deleted: ``is_active`` off ends a person's sign-in.

    Only the owner may make or change an owner, since the owner alone may waive.
    """
    require(actor, OFFICE)
    with transaction.atomic():
        findings = Findings()
        unknown = sorted(set(fields) - _PERSON)
        if unknown:
            raise TypeError(f"a person has no {', '.join(unknown)} to be set here")
        row = Person.objects.select_for_update().get(pk=instance.pk) if instance else Person()
        if Role.OWNER in (row.role if row.pk else None, fields.get("role")) and not actor.is_owner:
            raise NotAllowed("Only the owner may make or change an owner.")
        was_owner = row.pk is not None and row.is_owner and row.is_active
        if row.pk is None and not password:
            row.set_unusable_password()
        saved_fields(findings, row, fields, exclude=["password"])
        if not row.get_full_name():
            findings.add("first_name", "Give a name.")
        if Person.objects.filter(username__iexact=row.username).exclude(pk=row.pk).exists():
            findings.add("username", f"{row.username} is taken.")
        if was_owner and not (row.is_owner and row.is_active) and not _another_owner(row):
            findings.add("role", "There must be an owner who can sign in.")
        if row.pk == actor.pk and not row.is_active:
            findings.add("is_active", "You can't end your own sign-in.")
        if password:
            _set_password(findings, row, password)
        findings.refuse()
        row.save()
    return row


def _set_password(findings: Findings, row: Person, password: str) -> None:
    try:
        validate_password(password, row)
    except ValidationError as error:
        findings.extend("password", error.messages)
    else:
        row.set_password(password)


def _another_owner(row: Person) -> bool:
    return Person.objects.filter(role=Role.OWNER, is_active=True).exclude(pk=row.pk).exists()


def save_licence(*, actor: Person, instance: Licence | None = None, **fields: Any) -> Licence:
    """Adds a licence or changes one (a renewal is a new ``expires_on``)."""
    require(actor, OFFICE)
    with transaction.atomic():
        row = instance or Licence()
        findings = Findings()
        if "state" in fields:
            fields["state"] = checked_state(findings, fields["state"])
        saved_fields(findings, row, fields)
        if row.valid_from and row.expires_on and row.expires_on < row.valid_from:
            findings.add("expires_on", "It is valid to a day after the one it is valid from.")
        same = Licence.objects.filter(state=row.state, trade=row.trade, number=row.number).exclude(pk=row.pk)
        if same.exists():
            findings.add("number", "This licence is on the list already.")
        findings.refuse()
        row.save()
    return row


def save_insurance(*, actor: Person, instance: Insurance | None = None, **fields: Any) -> Insurance:
    """Adds an insurance policy or corrects one; a renewal is a policy of its own, so that its days stay known."""
    require(actor, OFFICE)
    with transaction.atomic():
        row = instance or Insurance()
        findings = Findings()
        saved_fields(findings, row, fields)
        if row.starts_on and row.expires_on and row.expires_on <= row.starts_on:
            findings.add("expires_on", "It ends after the day it begins.")
        same = Insurance.objects.filter(insurer=row.insurer, number=row.number, starts_on=row.starts_on)
        if same.exclude(pk=row.pk).exists():
            findings.add("number", "This policy is on the list already.")
        findings.refuse()
        row.save()
    return row


def save_equipment(*, actor: Person, catalogue: str, instance: Model | None = None, **fields: Any) -> Any:
    """Adds or changes a line of the catalogue; ``catalogue``: "module", "inverter", "battery" or "generator".

    Designs keep the ratings they were drawn with. ``active`` off takes a model out of new designs.
    """
    require(actor, OFFICE)
    model = CATALOGUE[catalogue]
    with transaction.atomic():
        row: Any = instance or model()
        findings = Findings()
        saved_fields(findings, row, fields)
        for field in row._meta.concrete_fields:
            name, value = field.name, getattr(row, field.name)
            if isinstance(value, bool) or not isinstance(value, int | float) or name == "id":
                continue
            if name in _NEGATIVE:
                if not -2 < value <= 0:
                    findings.add(name, "Percent per °C, negative as on the datasheet.")
            elif name in _FRACTIONS and not 0 <= value <= 1:
                findings.add(name, "Between 0 and 1, or in percent up to 100.")
            elif value < 0 or (value == 0 and name not in _MAY_BE_ZERO):
                findings.add(name, "Above 0.")
        _check_ranges(findings, row)
        if model._default_manager.filter(name__iexact=row.name).exclude(pk=row.pk).exists():
            findings.add("name", f"{row.name} is in the catalogue already.")
        findings.refuse()
        row.save()
    return row


def _check_ranges(findings: Findings, row: Model) -> None:
    if findings.found:
        return
    if isinstance(row, ModuleModel):
        if row.vmp_v >= row.voc_v:
            findings.add("vmp_v", "Below the open-circuit voltage.")
        if row.imp_a >= row.isc_a:
            findings.add("imp_a", "Below the short-circuit current.")
    if isinstance(row, BatteryModel):
        _check_own_inverter(findings, row)
    if isinstance(row, InverterModel):
        if row.mppt_min_v >= row.mppt_max_v:
            findings.add("mppt_min_v", "Below the upper end of the range.")
        if row.mppt_max_v > row.max_dc_voltage_v:
            findings.add("mppt_max_v", "At most the highest DC voltage.")


def _check_own_inverter(findings: Findings, row: BatteryModel) -> None:
    stated = [name for name in ("surge_kw", "surge_s", "most_pv_kw", "standby_w") if getattr(row, name) is not None]
    if row.coupling != BatteryModel.Coupling.AC:
        for name in stated:
            findings.add(name, "Only a battery with an inverter of its own has one: leave it empty.")
        return
    if row.surge_kw is not None and row.surge_kw < row.max_discharge_kw:
        findings.add("surge_kw", "At least what it discharges at.")
    if row.surge_s is not None and row.surge_kw is None:
        findings.add("surge_kw", "How far it surges in that time.")
