"""An amount of money as people write it: ``$1,234.50``, ``1234.5`` and ``1 234,50`` is asked back."""

from __future__ import annotations

import re
from decimal import Decimal
from typing import Any

from django import forms
from django.core.exceptions import ValidationError

_WRITTEN = re.compile(r"(?P<sign>[-−+]?)\s*\$?\s*(?P<sign2>[-−]?)\s*(?P<whole>\d{1,3}(?:,\d{3})+|\d+)?(?P<part>\.\d*)?")
_PERCENT = re.compile(r"(\d+(?:\.\d*)?|\.\d+)\s*%?")
SAY = "Write an amount such as 1,234.50."


class UsdField(forms.CharField):
    """Text in, an exact Decimal out; never a float. The action has the last word on how much may be typed."""

    def __init__(self, label: str = "Amount", **kwargs: Any) -> None:
        kwargs.setdefault("max_length", 24)
        kwargs.setdefault("widget", forms.TextInput(attrs={"inputmode": "decimal", "autocomplete": "off"}))
        kwargs.setdefault("error_messages", {"required": "Say how much."})
        super().__init__(label=f"{label} ($)", **kwargs)

    def prepare_value(self, value: Any) -> Any:
        return f"{value:,.2f}" if isinstance(value, Decimal) else value

    def clean(self, value: Any) -> Any:
        text = super().clean(value)
        if not text:
            return None
        found = _WRITTEN.fullmatch(text.strip())
        if found is None or not (found["whole"] or (found["part"] or ".") != "."):
            raise ValidationError(SAY)
        if found["sign"] and found["sign2"]:
            raise ValidationError(SAY)
        amount = Decimal((found["whole"] or "0").replace(",", "") + (found["part"] or "").rstrip("."))
        return -amount if (found["sign"] or found["sign2"]) in ("-", "−") else amount


class PercentField(forms.CharField):
    """ "10", "33.34" or "7.5 %" as an exact Decimal in percent."""

    def __init__(self, label: str = "Percent", **kwargs: Any) -> None:
        kwargs.setdefault("max_length", 12)
        kwargs.setdefault("widget", forms.TextInput(attrs={"inputmode": "decimal", "autocomplete": "off"}))
        super().__init__(label=f"{label} (%)", **kwargs)

    def prepare_value(self, value: Any) -> Any:
        return f"{value.normalize():f}" if isinstance(value, Decimal) else value

    def clean(self, value: Any) -> Any:
        text = super().clean(value)
        if not text:
            return None
        if _PERCENT.fullmatch(text.strip()) is None:
            raise ValidationError("Write a percentage such as 7.5.")
        return Decimal(text.strip().rstrip("%").strip())
