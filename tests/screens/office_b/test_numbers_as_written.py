"""Numbers may be typed as people and datasheets write them; another unit than the field's is refused."""

from __future__ import annotations

from decimal import Decimal

import pytest
from django.urls import reverse

from projects.models import InverterModel, ModuleModel, Utility
from projects.screens.fields import ExactField, NumberField, WholeField
from tests.screens.office_b.test_registers import new, typed

pytestmark = pytest.mark.django_db
MODULE = {
    "name": "Larch 420",
    "power_w": "420",
    "voc_v": "38.5",
    "isc_a": "13.9",
    "vmp_v": "32.2",
    "imp_a": "13.05",
    "temp_coeff_pmax_pct_per_c": "-0.30",
    "temp_coeff_voc_pct_per_c": "-0.25",
    "length_m": "1.722",
    "width_m": "1.134",
}


@pytest.mark.parametrize(
    ("field", "unit", "written", "meant"),
    [
        (ExactField(), "$", "$1,080.00", Decimal("1080.00")),
        (ExactField(), "$", "-$5", Decimal(-5)),
        (ExactField(), "$", " 0.19 ", Decimal("0.19")),
        (NumberField(), "kWh", "9,400 kWh", 9400.0),
        (NumberField(), "%", "97 %", 97.0),
        (NumberField(), "% a year", "3%", 3.0),
        (NumberField(), "V", "-12.5", -12.5),
        (WholeField(), "A", "1,200 A", 1200),
    ],
)
def test_separators_and_the_fields_own_unit_are_taken(field, unit, written, meant):
    field.said_unit = unit
    assert field.clean(written) == meant


@pytest.mark.parametrize(
    ("field", "unit", "written"),
    [
        (NumberField(), "W", "8 kW"),
        (NumberField(), "", "$5"),
        (NumberField(), "V", "5 $"),
        (ExactField(), "$", "12,34"),
        (WholeField(), "A", "1.5 A"),
        (NumberField(), "A", "A"),
    ],
)
def test_another_unit_or_a_stray_comma_is_refused(field, unit, written):
    field.said_unit = unit
    with pytest.raises(Exception, match="Enter a"):
        field.clean(written)


def test_a_price_with_its_dollar_sign_and_a_fee_with_its_comma_are_kept(office):
    said = typed(
        office, new("utilities"), name="Green Valley", energy_usd_per_kwh="$0.19", fast_track_up_to_kw="2,000 kW"
    )
    assert office.post(new("utilities"), said).status_code == 302
    assert Utility.objects.get().energy_usd_per_kwh == Decimal("0.19")
    wrong = office.post(new("utilities"), said | {"name": "Other", "energy_usd_per_kwh": "a lot"})
    assert wrong.status_code == 422 and wrong.context["form"].errors["energy_usd_per_kwh"] == ["Enter a number."]
    assert 'value="a lot"' in wrong.content.decode()


def test_a_modules_sides_are_taken_in_millimetres_as_on_its_datasheet(office):
    said = typed(office, new("modules"), **MODULE, price_usd="$210") | {"length_m": "1,722", "width_m": "1134"}
    assert office.post(new("modules"), said).status_code == 302
    module = ModuleModel.objects.get()
    assert (module.length_m, module.width_m) == pytest.approx((1.722, 1.134))
    shown = office.get(reverse("office-edit", args=["modules", module.pk])).content.decode()
    assert 'value="1.722"' in shown


@pytest.mark.parametrize("side", ["17.22", "0.01", "99999", "-1722"])
def test_a_side_that_fits_neither_unit_is_refused_where_it_was_typed(office, side):
    answer = office.post(new("modules"), typed(office, new("modules"), **MODULE) | {"length_m": side})
    assert answer.status_code == 422 and "Between 0.2 and 4 m" in answer.context["form"].errors["length_m"][0]
    assert not ModuleModel.objects.exists()


def test_an_efficiency_is_taken_with_its_percent_sign(office):
    said = {
        "name": "Tamarack", "kind": "hybrid", "price_usd": "2,800", "ac_power_w": "8,000 W", "efficiency": "97%",
        "max_dc_voltage_v": "600 V", "mppt_min_v": "100", "mppt_max_v": "500", "mppt_inputs": "3",
        "max_input_current_a": "16", "max_short_circuit_a": "20", "backup_power_w": "8000", "surge_w": "12,000",
    }  # fmt: skip
    assert office.post(new("inverters"), typed(office, new("inverters"), **said)).status_code == 302
    made = InverterModel.objects.get()
    assert (made.efficiency, made.ac_power_w, made.surge_w) == (0.97, 8000, 12000)
