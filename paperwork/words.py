"""Numbers, money, dates and durations as people read them, in English and Spanish."""

from __future__ import annotations

import re
from datetime import date
from decimal import ROUND_HALF_UP, Decimal

MONTHS_ES = (
    "enero",
    "febrero",
    "marzo",
    "abril",
    "mayo",
    "junio",
    "julio",
    "agosto",
    "septiembre",
    "octubre",
    "noviembre",
    "diciembre",
)
MONTHS_EN = (
    "January",
    "February",
    "March",
    "April",
    "May",
    "June",
    "July",
    "August",
    "September",
    "October",
    "November",
    "December",
)


def whole(value: float) -> str:
    """1234.5 -> "1,235" (halves away from zero, as people expect)."""
    return f"{Decimal(str(value)).quantize(Decimal(1), rounding=ROUND_HALF_UP):,}"


def usd(value: float | str | Decimal) -> str:
    amount = Decimal(str(value)).quantize(Decimal(1), rounding=ROUND_HALF_UP)
    return f"−${-amount:,}" if amount < 0 else f"${amount:,}"


def short(value: float, places: int = 1) -> str:
    """8.80 -> "8.8", 27.0 -> "27"."""
    text = f"{Decimal(str(value)).quantize(Decimal(1).scaleb(-places), rounding=ROUND_HALF_UP):,}"
    return text.rstrip("0").rstrip(".") if "." in text else text


def percent(fraction: float) -> str:
    return f"{whole(fraction * 100)} %"


def day(value: date | str, language: str = "en") -> str:
    if isinstance(value, str):
        value = date.fromisoformat(value[:10])
    if language == "es":
        return f"{value.day} de {MONTHS_ES[value.month - 1]} de {value.year}"
    return f"{value.day} {MONTHS_EN[value.month - 1]} {value.year}"


def short_day(value: date | str) -> str:
    if isinstance(value, str):
        value = date.fromisoformat(value[:10])
    return f"{value.day} {MONTHS_EN[value.month - 1][:3]} {value.year}"


def duration(hours: float, language: str = "en") -> str:
    """Never rounded up: 53.9 -> "2 days 5 hours"; from ten days on whole days."""
    day_word, hour_word, less = {
        "en": ("day", "hour", "less than an hour"),
        "es": ("día", "hora", "menos de una hora"),
    }[language]
    whole_hours = int(hours)
    days, rest = divmod(whole_hours, 24)
    if days == 0:
        return less if rest == 0 else _count(rest, hour_word)
    if rest == 0 or days >= 10:
        return _count(days, day_word)
    return f"{_count(days, day_word)} {_count(rest, hour_word)}"


def carried(hours: float, horizon_hours: int, language: str = "en") -> str:
    """A ride-through; the study looks no further than its horizon and neither do the words."""
    if hours >= horizon_hours:
        days = horizon_hours // 24
        return f"{_count(days, 'día')} o más" if language == "es" else f"{_count(days, 'day')} or more"
    return duration(hours, language)


def _count(n: int, noun: str) -> str:
    return f"{n:,} {noun}{'' if n == 1 else 's'}"


def count(n: int, noun: str) -> str:
    return _count(n, noun)


def listed(items: list[str], joiner: str = "and") -> str:
    """["a", "b", "c"] -> "a, b and c"."""
    if len(items) < 2:
        return "".join(items)
    return f"{', '.join(items[:-1])} {joiner} {items[-1]}"


_NUMBER_AND_UNIT = re.compile(r"(?<=[\d.]) (?=(?:A|V|W|kW|kWh|%|°C|m|mi|km|h)\b|%|°)")


_TIMES = re.compile(r"(?<=\d) × (?=\d)")


def glued(text: str) -> str:
    """A number and its unit stay on one line, and so does "2 × 30 A"."""
    return _TIMES.sub("\u00a0×\u00a0", _NUMBER_AND_UNIT.sub("\u00a0", text))


def clipped(text: str, limit: int) -> str:
    """At most ``limit`` characters, cut at a word, with an ellipsis."""
    text = " ".join(text.split())
    if len(text) <= limit:
        return text
    cut = text[: limit - 1]
    if " " in cut[limit // 2 :]:
        cut = cut.rsplit(" ", 1)[0]
    return cut.rstrip(" ,.;:") + "…"
