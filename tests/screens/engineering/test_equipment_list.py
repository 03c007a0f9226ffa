"""Modules and inverters of the public lists: looked up, read as pvlib reads them, and saved only from the form."""

from __future__ import annotations

import numpy as np
import pytest
from django.urls import reverse
from pvlib import inverter as pvlib_inverter
from pvlib import pvsystem

from projects import public_equipment
from projects.models import InverterModel, ModuleModel


def listed(noun: str) -> str:
    return reverse("office-equipment-list", args=[noun])


@pytest.fixture(scope="module")
def module_row() -> dict:
    return public_equipment.look_up("modules", "solar 300")[0][0]


def test_modules_are_those_that_pvlib_reads() -> None:
    """pvlib.pvsystem.retrieve_sam, the same lists through their own reader."""
    theirs = pvsystem.retrieve_sam("CECMod")
    found, count = public_equipment.look_up("modules", "a")
    assert count > 15_000 and len(found) == public_equipment.MOST_FOUND
    ours = [public_equipment._module(raw) for raw in public_equipment._rows("modules")]
    assert len(ours) == theirs.shape[1]
    for at in range(0, len(ours), 501):
        column = theirs.iloc[:, at]
        row = ours[at]
        assert (row["voc_v"], row["isc_a"]) == (float(column.V_oc_ref), float(column.I_sc_ref))
        assert (row["vmp_v"], row["imp_a"]) == (float(column.V_mp_ref), float(column.I_mp_ref))
        assert row["power_w"] == pytest.approx(float(column.STC), abs=0.051)
        assert row["temp_coeff_voc_pct_per_c"] == pytest.approx(100 * column.beta_oc / column.V_oc_ref, abs=6e-4)
        assert row["temp_coeff_pmax_pct_per_c"] == pytest.approx(column.gamma_r)


def test_the_weighted_efficiency_lies_on_the_curve_that_pvlib_computes() -> None:
    """pvlib.inverter.sandia at the list's nominal voltage: the same weights over its own part-load points."""
    theirs = pvsystem.retrieve_sam("CECInverter")
    rows = list(public_equipment._rows("inverters"))
    assert len(rows) == theirs.shape[1]
    compared = 0
    for at in range(0, len(rows), 97):
        ours, column = public_equipment.weighted_efficiency(rows[at]), theirs.iloc[:, at]
        if ours is None:
            continue
        rated = float(column.Paco)
        dc = np.linspace(column.Pso, column.Pdco, 20_000)[1:]
        ac = pvlib_inverter.sandia(np.full(dc.shape, column.Vdco), dc, column)
        expected = sum(w * s * rated / np.interp(s * rated, ac, dc) for s, w in public_equipment.WEIGHTS)
        assert ours == pytest.approx(expected, rel=1e-4)
        compared += 1
    assert compared > 20


def test_words_are_looked_up_and_one_opens_as_a_new_line_with_what_the_list_knows(office, module_row) -> None:
    page = office.get(listed("modules"), {"q": "solar 300"}).content.decode()
    assert module_row["listed"] in page.replace("&amp;", "&").replace("&#x27;", "'")
    form = office.get(reverse("office-new", args=["modules"]), {"from": module_row["listed"]})
    shown = form.context["form"]
    assert float(shown["voc_v"].value()) == module_row["voc_v"]
    assert float(shown["temp_coeff_voc_pct_per_c"].value()) == module_row["temp_coeff_voc_pct_per_c"]
    assert "Hold every value against the datasheet" in form.content.decode()
    assert not ModuleModel.objects.exists()


def test_what_was_read_is_saved_by_the_form_and_by_it_alone(office, module_row) -> None:
    typed = {key: value for key, value in module_row.items() if key != "listed" and value is not None}
    typed |= {"max_series_fuse_a": "15", "weight_kg": "20", "warranty_years": "25", "active": "on", "price_usd": "120"}
    typed.setdefault("length_m", "1.9")
    typed.setdefault("width_m", "1.0")
    answer = office.post(f"{reverse('office-new', args=['modules'])}?from=x", typed)
    assert answer.status_code == 302, answer.context["form"].errors
    assert ModuleModel.objects.get().voc_v == module_row["voc_v"]


def test_an_inverter_brings_its_ratings_and_leaves_the_rest_to_the_datasheet(office) -> None:
    [row, *_], _ = public_equipment.look_up("inverters", "240V")
    assert 0.8 < row["efficiency"] < 1.0
    form = office.get(reverse("office-new", args=["inverters"]), {"from": row["listed"]}).context["form"]
    assert float(form["max_dc_voltage_v"].value()) == row["max_dc_voltage_v"]
    assert not form["mppt_inputs"].value() and not form["max_short_circuit_a"].value()
    assert not InverterModel.objects.exists()


@pytest.mark.parametrize("words", ["", "   ", "no such words at all", "<script>alert(1)</script>", "\0", "x" * 5000])
def test_other_words_find_nothing_and_break_nothing(office, words: str) -> None:
    answer = office.get(listed("modules"), {"q": words})
    assert answer.status_code == 200
    assert answer.context["found"] == []
    assert "<script>alert" not in answer.content.decode()


def test_who_may_not_and_what_is_no_list(crew, stranger, office) -> None:
    assert crew.get(listed("modules")).status_code in (302, 403, 404)
    assert stranger.get(listed("modules")).status_code == 302
    assert office.get(listed("batteries")).status_code == 404
    unknown = office.get(reverse("office-new", args=["modules"]), {"from": "Nobody's module"})
    assert unknown.status_code == 200 and unknown.context["listed"] is None
