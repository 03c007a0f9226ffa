"""What the household wishes for, as the search takes it."""

from __future__ import annotations

from typing import Any

from django import forms

from projects.models import Goal, Job, LeadAnswers
from projects.screens.fields import NumberField
from projects.screens.plain_form import PlainForm


class WishForm(PlainForm):
    ride_through_pct = NumberField(label="Outages carried, at least", min_value=0, max_value=100, required=False)
    bill_offset_pct = NumberField(label="Bills saved, at least", min_value=0, max_value=100, required=False)
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
        kwargs["initial"] = self._initial(answers, wish)
        super().__init__(*args, **kwargs)
        if not self.outages:
            del self.fields["ride_through_pct"]

    @staticmethod
    def _initial(answers: LeadAnswers | None, wish: dict[str, Any] | None) -> dict[str, Any]:
        if wish is not None:
            return {
                "ride_through_pct": round(wish["ride_through_share"] * 100, 4),
                "bill_offset_pct": round(wish["bill_offset"] * 100, 4),
                "most_usd": wish["most_usd"],
            }
        bills_first = answers is not None and answers.goal == Goal.PAYBACK
        return {"ride_through_pct": 50.0 if bills_first else 90.0, "bill_offset_pct": 50.0 if bills_first else 30.0}

    def wish(self) -> dict[str, Any]:
        """Keyword arguments of ``start_search`` (job and actor aside)."""
        cleaned = self.cleaned_data
        return {
            "bill_offset": (cleaned.get("bill_offset_pct") or 0) / 100,
            "ride_through_share": (cleaned.get("ride_through_pct") or 0) / 100,
            "most_usd": cleaned.get("most_usd"),
        }
