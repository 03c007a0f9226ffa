"""Money rules of the office, incentives of a job, and a utility's prices by block or by time of use."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from django import forms

from projects.actions.prices import MOST_ROWS
from projects.models import MoneyRules, Utility
from projects.screens.fields import NumberField
from projects.screens.office.forms_base import DayField
from projects.screens.office.forms_loads import MONTHS
from projects.screens.office.forms_register import RegisterForm
from projects.screens.plain_form import PlainForm

LEAST_BLOCKS, LEAST_PERIODS = 3, 4
DAYS = (("all", "every day"), ("weekdays", "weekdays"), ("weekends", "weekends"))
MONTH_CHOICES = (("", "all year"), *((str(n), month) for n, month in enumerate(MONTHS, 1)))
PERIOD_COLUMNS = (
    "name",
    "from_hour",
    "to_hour",
    "first_month",
    "last_month",
    "days",
    "usd_per_kwh",
    "export_usd_per_kwh",
)


class MoneyRulesForm(RegisterForm):
    model = MoneyRules
    groups = (
        ("The years looked at", ("years", "discount_pct_per_year", "inflation_pct_per_year")),
        ("The system", ("degradation_pct_per_year", "upkeep_usd_per_year", "battery_years", "inverter_years")),
    )
    labels = {
        "years": "Years",
        "discount_pct_per_year": "Discount rate",
        "inflation_pct_per_year": "Upkeep and replacements rise by",
        "degradation_pct_per_year": "Production falls by",
        "upkeep_usd_per_year": "Upkeep",
        "battery_years": "Battery bought again after",
        "inverter_years": "Inverter bought again after",
    }
    units = {
        "years": "years",
        "battery_years": "years",
        "inverter_years": "years",
        "upkeep_usd_per_year": "$",
        **dict.fromkeys(("discount_pct_per_year", "inflation_pct_per_year", "degradation_pct_per_year"), "% a year"),
    }
    helps = {
        "battery_years": "At the catalogue’s price. Empty: never counted",
        "inverter_years": "At the catalogue’s price. Empty: never counted",
        "upkeep_usd_per_year": "A year",
    }


class IncentiveForm(PlainForm):
    name = forms.CharField(label="What", max_length=80, help_text="Rebate, grant, tax credit, as it is called")
    usd = forms.DecimalField(
        label="Amount",
        max_digits=9,
        decimal_places=2,
        min_value=0,
        widget=forms.TextInput(attrs={"inputmode": "decimal"}),
    )
    month = forms.IntegerField(
        label="Arrives in month",
        min_value=1,
        max_value=120,
        initial=12,
        widget=forms.TextInput(attrs={"inputmode": "numeric"}),
        help_text="Counted from the start",
    )
    source = forms.CharField(label="Where it is written", max_length=160, help_text="The rule, the page, the letter")
    entered_on = DayField("Looked up on")
    expires_on = DayField("Ends on", ahead=True, required=False)


class PricesForm(PlainForm):
    """Rows of blocks and rows of periods; a row left empty is none."""

    def __init__(self, *args: Any, utility: Utility, **kwargs: Any) -> None:
        kwargs["initial"] = self._initial(utility)
        super().__init__(*args, **kwargs)
        self.blocks = max(LEAST_BLOCKS, len(utility.energy_blocks) + 1, self._sent("block_{}_kwh"))
        self.periods = max(LEAST_PERIODS, len(utility.rate_periods) + 1, self._sent("period_{}_name"))
        for n in range(self.blocks):
            for key, words in (("kwh", "kWh"), ("usd_per_kwh", "$ a kWh")):
                self.fields[f"block_{n}_{key}"] = NumberField(
                    label=f"Block {n + 1}: {words}", required=False, min_value=0
                )
        for n in range(self.periods):
            self.fields |= {f"period_{n}_{key}": field for key, field in self._period_fields(f"Hours {n + 1}").items()}

    def _sent(self, name: str) -> int:
        """Rows on the page that was sent: somebody may have dropped some in the book since it was opened."""
        return sum(name.format(n) in self.data for n in range(MOST_ROWS + 1))

    @staticmethod
    def _period_fields(label: str) -> dict[str, forms.Field]:
        found: dict[str, forms.Field] = {
            "name": forms.CharField(label=f"{label}: name", max_length=40, required=False),
            "days": forms.ChoiceField(label=f"{label}: days", choices=DAYS, required=False, initial="all"),
            "usd_per_kwh": NumberField(label=f"{label}: $ a kWh", required=False, min_value=0),
            "export_usd_per_kwh": NumberField(label=f"{label}: sent out, $ a kWh", required=False, min_value=0),
        }
        for end, initial in (("from", 0), ("to", 24)):
            found[f"{end}_hour"] = forms.TypedChoiceField(
                label=f"{label}: {end}",
                coerce=int,
                empty_value=None,
                choices=[(hour, f"{hour}:00") for hour in range(25)],
                required=False,
                initial=initial,
            )
        for end in ("first", "last"):
            found[f"{end}_month"] = forms.ChoiceField(
                label=f"{label}: {end} month", choices=MONTH_CHOICES, required=False
            )
        return found

    @staticmethod
    def _initial(utility: Utility) -> dict[str, Any]:
        found: dict[str, Any] = {}
        for n, block in enumerate(utility.energy_blocks):
            found |= {f"block_{n}_{key}": value for key, value in block.items()}
        for n, period in enumerate(utility.rate_periods):
            found |= {f"period_{n}_{key}": value for key, value in period.items() if key != "months"}
            if period["months"]:
                first, last = period["months"][0], period["months"][-1]
                found |= {f"period_{n}_first_month": str(first), f"period_{n}_last_month": str(last)}
        return found

    @property
    def block_rows(self) -> list[list[forms.BoundField]]:
        return [[self[f"block_{n}_kwh"], self[f"block_{n}_usd_per_kwh"]] for n in range(self.blocks)]

    @property
    def period_rows(self) -> list[list[forms.BoundField]]:
        return [[self[f"period_{n}_{key}"] for key in PERIOD_COLUMNS] for n in range(self.periods)]

    def clean(self) -> dict[str, Any]:
        cleaned = super().clean() or self.cleaned_data
        for n in range(self.blocks):
            self._whole(cleaned, f"block_{n}", ("kwh", "usd_per_kwh"))
        for n in range(self.periods):
            where = f"period_{n}"
            self._whole(cleaned, where, ("name", "usd_per_kwh"), ("export_usd_per_kwh", "first_month", "last_month"))
            first, last = cleaned.get(f"{where}_first_month"), cleaned.get(f"{where}_last_month")
            if bool(first) != bool(last):
                self.add_error(f"{where}_{'last' if first else 'first'}_month", "Missing")
        return cleaned

    def _whole(self, cleaned: dict[str, Any], where: str, keys: Sequence[str], more: Sequence[str] = ()) -> None:
        """A row that was begun needs all of ``keys``."""
        begun = any(cleaned.get(f"{where}_{key}") not in (None, "") for key in (*keys, *more))
        for key in keys if begun else ():
            if cleaned.get(f"{where}_{key}") in (None, "") and f"{where}_{key}" not in self.errors:
                self.add_error(f"{where}_{key}", "Missing")

    def prices(self) -> tuple[dict[str, Any], list[int], list[int]]:
        """Keyword arguments of ``save_prices``, and which rows of the form its blocks and periods stand in."""
        cleaned = self.cleaned_data
        blocks = [n for n in range(self.blocks) if cleaned.get(f"block_{n}_kwh") is not None]
        periods = [n for n in range(self.periods) if cleaned.get(f"period_{n}_name")]
        given = {
            "blocks": [{key: cleaned[f"block_{n}_{key}"] for key in ("kwh", "usd_per_kwh")} for n in blocks],
            "periods": [self._period(cleaned, f"period_{n}") for n in periods],
        }
        return given, blocks, periods

    @staticmethod
    def _period(cleaned: dict[str, Any], where: str) -> dict[str, Any]:
        first, last = cleaned[f"{where}_first_month"], cleaned[f"{where}_last_month"]
        from_hour, to_hour = cleaned[f"{where}_from_hour"], cleaned[f"{where}_to_hour"]
        return {
            "name": cleaned[f"{where}_name"].strip(),
            "usd_per_kwh": cleaned[f"{where}_usd_per_kwh"],
            "export_usd_per_kwh": cleaned[f"{where}_export_usd_per_kwh"],
            "from_hour": 0 if from_hour is None else from_hour,
            "to_hour": 24 if to_hour is None else to_hour,
            "months": _run(int(first), int(last)) if first else [],
            "days": cleaned[f"{where}_days"] or "all",
        }


def _run(first: int, last: int) -> list[int]:
    """June to September, or over the turn of the year: November to February."""
    return [(first - 1 + n) % 12 + 1 for n in range((last - first) % 12 + 1)]
