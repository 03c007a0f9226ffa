"""Efficiencies are typed as the datasheet prints them, in percent or as a fraction."""

from __future__ import annotations

import pytest
from django.urls import reverse

from projects.models import BatteryModel
from tests.screens.engineering.test_own_inverter import TYPED

pytestmark = pytest.mark.django_db


def typed(office, **changes: str):
    return office.post(reverse("office-new", args=["batteries"]), TYPED | changes)


@pytest.mark.parametrize(
    ("efficiency", "kept"), [("0.89", 0.89), ("89", 0.89), ("92.5", 0.925), ("1", 1.0), ("100", 1.0)]
)
def test_percent_and_fraction_are_the_same(office, efficiency: str, kept: float) -> None:
    assert typed(office, round_trip_efficiency=efficiency, reserve_fraction="20").status_code == 302
    stored = BatteryModel.objects.get()
    assert stored.round_trip_efficiency == pytest.approx(kept) and stored.reserve_fraction == pytest.approx(0.2)


@pytest.mark.parametrize("efficiency", ["101", "-3", "1000"])
def test_what_is_neither_is_refused_at_its_field_and_stays_typed(office, efficiency: str) -> None:
    answer = typed(office, round_trip_efficiency=efficiency)
    assert answer.status_code == 422
    assert answer.context["form"].errors["round_trip_efficiency"] == ["Between 0 and 1, or in percent up to 100."]
    assert f'value="{efficiency}"' in answer.content.decode()
    assert not BatteryModel.objects.exists()
