"""How a household is reached and where it is: what was typed, cleaned; used by the actions of intake."""

from __future__ import annotations

import re
from typing import Any

from django.core.exceptions import ValidationError
from django.core.validators import validate_email

from projects import places
from projects.actions.findings import Findings

LANGUAGES = ("en", "es")


def phone_digits(phone: str) -> str:
    """The last ten digits: the same number with or without country code and punctuation."""
    return re.sub(r"\D", "", phone)[-10:]


def cleaned(findings: Findings, *, name: str, email: str, phone: str, preferred_language: str) -> dict[str, Any]:
    """Columns of Customer."""
    name, email, phone = " ".join(name.split()), email.strip().lower(), phone.strip()
    findings.need("name", name, "Give a name.")
    _no_longer_than(findings, "name", name, 120)
    _no_longer_than(findings, "phone", phone, 40)
    _no_longer_than(findings, "email", email, 254)
    if not email and not phone:
        findings.add("phone", "Give a phone number or an e-mail address.")
    if email:
        try:
            validate_email(email)
        except ValidationError:
            findings.add("email", "This is no e-mail address.")
    digits = phone_digits(phone)
    if phone and len(digits) < 10:
        findings.add("phone", "A phone number has ten digits with its area code.")
    if preferred_language not in LANGUAGES:
        findings.add("preferred_language", "Choose English or Spanish.")
    return {
        "name": name,
        "email": email,
        "phone": phone,
        "phone_digits": digits,
        "preferred_language": preferred_language,
    }


def cleaned_address(findings: Findings, *, street: str, city: str) -> dict[str, Any]:
    street, city = " ".join(street.split()), " ".join(city.split())
    findings.need("street", street, "Give the street address.")
    findings.need("city", city, "Give the town.")
    _no_longer_than(findings, "street", street, 160)
    _no_longer_than(findings, "city", city, 80)
    return {"street": street, "city": city}


def located(
    findings: Findings,
    state: str,
    zip_code: str,
    latitude_deg: float | None,
    longitude_deg: float | None,
    *,
    roughly: bool = False,
) -> places.Place | None:
    try:
        return places.locate(
            state=state,
            zip_code=zip_code.strip(),
            latitude_deg=latitude_deg,
            longitude_deg=longitude_deg,
            roughly=roughly,
        )
    except places.NotFound as problem:
        findings.add(problem.field, problem.message)
        return None


def columns(place: places.Place) -> dict[str, Any]:
    """Columns of Site."""
    return {
        "latitude_deg": place.latitude_deg,
        "longitude_deg": place.longitude_deg,
        "elevation_m": place.elevation_m,
        "time_zone": place.time_zone,
        "county": place.county,
        "located_from": place.located_from,
    }


def _no_longer_than(findings: Findings, field: str, value: str, longest: int) -> None:
    if len(value) > longest:
        findings.add(field, f"At most {longest} characters.")
