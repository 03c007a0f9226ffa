"""Words for a number that is too small, too large or too fine: what is accepted, in the unit of its field.

The unit is read off the field's name (``busbar_a`` is in amperes), as everywhere in this program, unless it is given.
"""

from __future__ import annotations

from collections.abc import Iterable
from decimal import Decimal
from typing import Any

from django.core.exceptions import ValidationError
from django.core.validators import MaxValueValidator, MinValueValidator

_SPELT = ("A", "VA", "W", "kW", "kWh", "V", "m", "km", "mm", "ft", "in", "kg", "s", "mph", "psf")
_IN_WORDS = ("years", "months", "days", "hours", "minutes")
UNITS = {
    **{unit.lower(): unit for unit in (*_SPELT, *_IN_WORDS)},
    "watts": "W",
    "horsepower": "hp",
    "sqft": "sq ft",
    "deg": "°",
    "c": "°C",
    "pct": "%",
}
NO_BREAK = "\u00a0"
UNBOUNDED = 1_000_000_000
"""A bound from here on is the database's own, not one that a person would think of."""
BOUNDS = {"min_value": MinValueValidator.message, "max_value": MaxValueValidator.message}


def unit_of(name: str) -> str:
    """ "A" for ``busbar_a``, "$" for every amount of money, "" where the name says none."""
    parts = name.lower().split("_")
    if "usd" in parts:
        return "$"
    if "per" in parts:
        return ""
    known = [UNITS[part] for part in parts if part in UNITS and len(part) > 1] if parts[-1].isdigit() else []
    return UNITS.get(parts[-1], known[0] if known else "")


def plain_number(value: Any) -> str:
    """ "1,200", "0.1" and "-76.75", never "0.0" or "1e+07"."""
    number = Decimal(str(value)).normalize()
    return f"{number:,f}"


def amount(value: Any, unit: str) -> str:
    if unit == "$":
        return f"-${plain_number(-value)}" if value < 0 else f"${plain_number(value)}"
    between = NO_BREAK if unit and unit != "°" else ""
    return f"{plain_number(value)}{between}{unit}"


def accepted(unit: str, least: Any, most: Any) -> str:
    """ "Between 30 and 1,200 A", "At least $1", "At most 40 years"."""
    least, most = (None if bound is None or abs(bound) >= UNBOUNDED else bound for bound in (least, most))
    if least is not None and most is not None:
        first = amount(least, unit) if unit in ("$", "°") else plain_number(least)
        return f"Between {first} and {amount(most, unit)}."
    if least is not None:
        return f"At least {amount(least, unit)}."
    return f"At most {amount(most, unit)}." if most is not None else "That number is too large."


def reworded(
    error: ValidationError, *, unit: str, least: Any = None, most: Any = None, keep: Iterable[str] = ()
) -> list[str | ValidationError]:
    """The reasons of one field; those for which the field has words of its own (``keep``: their codes) stay."""
    found: list[str | ValidationError] = []
    for one in error.error_list:
        words = None if one.code in keep else _words(one, unit, least, most)
        reason: str | ValidationError = one if words is None else ValidationError(words, code=one.code)
        found.append(reason)
    return found


def _words(one: ValidationError, unit: str, least: Any, most: Any) -> str | None:
    params = one.params or {}
    if one.code in BOUNDS and one.message == BOUNDS[one.code]:
        limit = params["limit_value"]
        if not isinstance(limit, int | float | Decimal):
            return None
        return accepted(
            unit,
            limit if one.code == "min_value" and least is None else least,
            limit if one.code == "max_value" and most is None else most,
        )
    if one.code == "max_decimal_places":
        places = params["max"]
        return f"At most {places} digits after the point." if places else "A whole number, without a point."
    if one.code in ("max_digits", "max_whole_digits"):
        return f"At most {params['max']} digits{' before the point' if one.code == 'max_whole_digits' else ''}."
    return None


def bounds_of(validators: Iterable[Any]) -> tuple[Any, Any]:
    """(least, most) of a field's validators; None where there is none."""
    least, most = [], []
    for validator in validators:
        limit = getattr(validator, "limit_value", None)
        if isinstance(limit, int | float | Decimal):
            if isinstance(validator, MinValueValidator):
                least.append(limit)
            elif isinstance(validator, MaxValueValidator):
                most.append(limit)
    return max(least, default=None), min(most, default=None)
