"""What the household wishes for, as the search takes it."""

from __future__ import annotations

from typing import Any

from django import forms

from projects.actions import searching
from projects.models import Goal, Job, LeadAnswers
from projects.screens.fields import NumberField
from projects.screens.plain_form import PlainForm

USUAL_CARRIED, USUAL_DAYS = 0.97, 2.0
"""Off the grid, to begin with: all but about 260 hours a year, and two days without sun. Common practice, no source."""


class WishForm(PlainForm):
    ride_through_pct = NumberField(label="Outages carried, at least", min_value=0, max_value=100, required=False)
    bill_offset_pct = NumberField(label="Bills saved, at least", min_value=0, max_value=100, required=False)
    carried_pct = NumberField(
        label="Hours of the year carried, at least",
        min_value=0,
        max_value=100,
        required=False,
        help_text="By sun and battery, the whole house; the rest is a generator’s",
    )
    autonomy_days = NumberField(
        label="Days without sun, at least",
        min_value=0,
        max_value=searching.MOST_DAYS,
        required=False,
        help_text="The full battery alone, at the house’s mean load",
    )
    most_usd = forms.DecimalField(
        label="Price, at most",
        required=False,
        min_value=1,
        max_digits=9,
        decimal_places=2,
        widget=forms.TextInput(attrs={"inputmode": "decimal"}),
        help_text="Empty: no limit",
    )

    def __init__(self, *args: Any, job: Job, wish: dict[str, Any] | None = None, **kwargs: Any) -> None:
        answers = LeadAnswers.objects.filter(job=job).first()
        self.outages = job.system_kind == "hybrid"
        self.off_grid = job.system_kind == "off_grid"
        kwargs["initial"] = self._initial(answers, wish)
        super().__init__(*args, **kwargs)
        unasked = ["bill_offset_pct", "ride_through_pct"] if self.off_grid else ["carried_pct", "autonomy_days"]
        if not self.outages and not self.off_grid:
            unasked.append("ride_through_pct")
        for name in unasked:
            del self.fields[name]

    @staticmethod
    def _initial(answers: LeadAnswers | None, wish: dict[str, Any] | None) -> dict[str, Any]:
        if wish is not None:
            return {
                "ride_through_pct": round(wish["ride_through_share"] * 100, 4),
                "bill_offset_pct": round(wish["bill_offset"] * 100, 4),
                # A wish from the days when the job was on the grid asks neither.
                "carried_pct": round((wish.get("carried_share") or USUAL_CARRIED) * 100, 4),
                "autonomy_days": wish.get("autonomy_days") if wish.get("carried_share") else USUAL_DAYS,
                "most_usd": wish["most_usd"],
            }
        bills_first = answers is not None and answers.goal == Goal.PAYBACK
        return {
            "ride_through_pct": 50.0 if bills_first else 90.0,
            "bill_offset_pct": 50.0 if bills_first else 30.0,
            "carried_pct": USUAL_CARRIED * 100,
            "autonomy_days": USUAL_DAYS,
        }

    def wish(self) -> dict[str, Any]:
        """Keyword arguments of ``start_search`` (job and actor aside)."""
        cleaned = self.cleaned_data
        return {
            "bill_offset": (cleaned.get("bill_offset_pct") or 0) / 100,
            "ride_through_share": (cleaned.get("ride_through_pct") or 0) / 100,
            "carried_share": (cleaned.get("carried_pct") or 0) / 100,
            "autonomy_days": cleaned.get("autonomy_days") or 0.0,
            "most_usd": cleaned.get("most_usd"),
        }
