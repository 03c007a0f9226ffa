"""A number out of bounds is answered in plain words, with the unit of its field, on every form and by every action."""

from __future__ import annotations

from decimal import Decimal

import pytest
from django import forms
from django.contrib.auth.forms import AuthenticationForm
from django.core.exceptions import ValidationError

from projects.actions import staff
from projects.actions.problems import Problems
from projects.number_words import accepted, unit_of
from projects.screens.office import facts, urls_lead  # noqa: F401  (brings every form of the office)
from projects.screens.office.forms_loads import LoadForm
from projects.screens.office.forms_site import ServiceForm
from projects.screens.plain_form import PlainForm
from tests import factories
from tests.factories import BatteryFactory

NB = "\u00a0"


class Sample(PlainForm):
    busbar_a = forms.IntegerField(min_value=30, max_value=1200)
    fee = forms.DecimalField(label="Fee paid ($)", min_value=0, decimal_places=2, max_digits=6)
    lasting_years = forms.FloatField(max_value=40.0)
    tilt_deg = forms.FloatField(min_value=-0.5)
    number = forms.IntegerField(min_value=1)
    own_m = forms.FloatField(min_value=1, error_messages={"min_value": "Measure it again."})


GOOD = {"busbar_a": 200, "fee": "12.50", "lasting_years": 25, "tilt_deg": 3, "number": 4, "own_m": 2}


@pytest.mark.parametrize(
    ("field", "typed", "said"),
    [
        ("busbar_a", "20", f"Between 30 and 1,200{NB}A."),
        ("busbar_a", "5000", f"Between 30 and 1,200{NB}A."),
        ("fee", "-1", "At least $0."),
        ("fee", "1.234", "At most 2 digits after the point."),
        ("fee", "12345.5", "At most 4 digits before the point."),
        ("lasting_years", "41", f"At most 40{NB}years."),
        ("tilt_deg", "-3", "At least -0.5°."),
        ("number", "0", "At least 1."),
        ("own_m", "0.5", "Measure it again."),
    ],
)
def test_what_is_accepted_is_said_with_its_unit(field: str, typed: str, said: str) -> None:
    form = Sample(GOOD | {field: typed})
    assert form.errors == {field: [said]}
    assert form[field].value() == typed


def test_within_bounds_nothing_is_said() -> None:
    assert Sample(GOOD).is_valid()


@pytest.mark.parametrize(
    ("name", "unit"),
    [
        ("main_breaker_a", "A"),
        ("kwh_3", "kWh"),
        ("usd_per_kwh", "$"),
        ("fee_usd", "$"),
        ("loan_months", "months"),
        ("temp_coeff_pmax_pct_per_c", ""),
        ("battery_count", ""),
    ],
)
def test_the_unit_is_that_of_the_fields_name(name: str, unit: str) -> None:
    assert unit_of(name) == unit


def test_the_databases_own_bounds_are_not_a_persons() -> None:
    assert accepted("days", 0, 9_223_372_036_854_775_807) == f"At least 0{NB}days."


def test_every_form_of_the_program_answers_so() -> None:
    """A form that isn't a PlainForm would speak the framework's words."""
    of_ours = [one for one in _below(forms.BaseForm) if one.__module__.startswith(("projects.", "paperwork."))]
    assert len(of_ours) > 40
    # Signing in asks for no number.
    others = [one for one in of_ours if not issubclass(one, PlainForm | AuthenticationForm)]
    assert others == []


def _below(kind: type) -> list[type]:
    return [one for child in kind.__subclasses__() for one in (child, *_below(child))]


def test_forms_of_the_office_say_it_in_their_own_units() -> None:
    service = ServiceForm({"rating_a": "5", "main_breaker_a": "200", "busbar_a": "200", "free_spaces": "2"})
    assert service.errors["rating_a"] == [f"Between 30 and 1,200{NB}A."]
    load = LoadForm({"watts": "-4", "hours": "30"})
    assert load.errors["watts"] == [f"Between 0 and 100,000{NB}W."]


@pytest.mark.django_db
def test_what_only_the_model_refuses_is_said_so_too() -> None:
    battery = BatteryFactory(name="Turnstone 13")
    with pytest.raises(Problems) as problems:
        staff.save_equipment(
            actor=factories.office_person(), catalogue="battery", instance=battery, price_usd=Decimal("12.345")
        )
    said = {problem.field: problem.message for problem in problems.value}
    assert said["price_usd"] == "At most 2 digits after the point."


def test_no_bound_speaks_in_the_frameworks_voice() -> None:
    form = Sample({"busbar_a": "1", "fee": "-1.234", "lasting_years": "99", "tilt_deg": "-9", "number": "-1"})
    assert not any("Ensure" in words for reasons in form.errors.values() for words in reasons)
    with pytest.raises(ValidationError, match="Ensure"):  # as it is without the form under all forms
        forms.IntegerField(min_value=1).clean("0")
