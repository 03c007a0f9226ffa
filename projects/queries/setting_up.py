"""What a new office has not told yet, and can't do without."""

from __future__ import annotations

from django.db.models import Exists

from projects.models import (
    Crew,
    InverterModel,
    Jurisdiction,
    Licence,
    ModuleModel,
    OfficeProfile,
    Person,
    Role,
    Utility,
)

TOLD = {
    "firm": OfficeProfile.objects.all(),
    "utility": Utility.objects.all(),
    "module": ModuleModel.objects.all(),
    "inverter": InverterModel.objects.all(),
    "jurisdiction": Jurisdiction.objects.all(),
    "contractor": Licence.objects.filter(trade=Licence.Trade.CONTRACTOR),
    "electrician": Licence.objects.filter(trade=Licence.Trade.ELECTRICIAN),
    "people": Person.objects.filter(role=Role.CREW, is_active=True),
    "crew": Crew.objects.all(),
}
"""In the order in which a first job comes to need them."""
OF_CHOICE = ("people", "crew")
"""An owner who climbs the roofs alone needs neither."""


def not_told(person: Person) -> tuple[str, ...]:
    """Keys of ``TOLD`` of which the office has none yet; one query. ``person``: anybody who is signed in."""
    asked = Person.objects.filter(pk=person.pk).values_list(*(Exists(rows.order_by()) for rows in TOLD.values()))
    found = asked.get()
    return tuple(key for key, there in zip(TOLD, found, strict=True) if not there)
