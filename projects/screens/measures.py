"""Lengths, pitches and bearings as people say them; metres and degrees inside.

A tape measure speaks feet and inches, a drawing may speak metres; both are understood everywhere, and the unit chosen
on the page only decides what a bare number means and how a value is shown.
"""

from __future__ import annotations

import math
import re
from fractions import Fraction

METRES_PER_INCH = 0.0254
METRES_PER_FOOT = 12 * METRES_PER_INCH
FEET, METRES = "ft", "m"
LENGTH_UNITS = {FEET: "feet and inches", METRES: "metres"}

_COMPASS = ("N", "NNE", "NE", "ENE", "E", "ESE", "SE", "SSE", "S", "SSW", "SW", "WSW", "W", "WNW", "NW", "NNW")
_COMPASS_WORDS = {"N": "north", "E": "east", "S": "south", "W": "west"}

_NUMBER = r"\d+(?:\.\d+)?|\.\d+"
_INCHES = rf"(?:(?P<inches>{_NUMBER})(?:[ -](?P<fraction>\d+/\d+))?|(?P<only>\d+/\d+))"
_FEET_AND_INCHES = re.compile(
    rf"^(?:(?P<feet>{_NUMBER}) ?(?:'|ft\.?|feet|foot))?[ ,-]*(?:{_INCHES} ?(?:\"|in\.?|inch|inches|$))?$"
)
_METRIC = re.compile(rf"^(?P<n>{_NUMBER}) ?(?P<unit>mm|cm|m|metres?|meters?)$")
_BARE = re.compile(rf"^(?:{_NUMBER})$")


def parse_length(text: str, unit: str = FEET) -> float:
    """Metres from ``12' 6"``, ``12 ft 6 1/2 in``, ``150"``, ``3.8 m`` or a bare number in ``unit``.

    Raises ValueError with a sentence for the person who typed it.
    """
    said = text.strip().lower()
    for typographic, plain in (("′", "'"), ("’", "'"), ("″", '"'), ("”", '"'), ("“", '"'), ("''", '"')):
        said = said.replace(typographic, plain)
    said = re.sub(r"\s+", " ", said)
    if _BARE.match(said):
        return float(said) * (METRES_PER_FOOT if unit == FEET else 1.0)
    metric = _METRIC.match(said)
    if metric:
        return float(metric["n"]) * {"mm": 0.001, "cm": 0.01}.get(metric["unit"], 1.0)
    imperial = _FEET_AND_INCHES.match(said) if said[:1] not in ("-", ",") else None
    if imperial and (imperial["feet"] or imperial["inches"] or imperial["only"]):
        try:
            inches = float(imperial["inches"] or 0)
            inches += float(Fraction(imperial["fraction"] or imperial["only"] or "0"))
        except ZeroDivisionError:
            raise ValueError("That fraction has a zero below the line.") from None
        if imperial["feet"] and inches >= 12:
            raise ValueError("More than 12 inches beside the feet: is that a slip?")
        return (float(imperial["feet"] or 0) * 12 + inches) * METRES_PER_INCH
    raise ValueError("Write a length such as 12' 6\", 12.5 ft or 3.81 m.")


def show_length(metres: float | None, unit: str = FEET, *, parts: int = 4) -> str:
    """As a person of that unit writes it: ``12' 6"`` (to the quarter inch; ``parts`` of an inch) or ``3.81 m``."""
    if metres is None:
        return ""
    if unit == METRES:
        return f"{metres:.2f}".rstrip("0").rstrip(".") + " m"
    quarters = round(abs(metres) / METRES_PER_INCH * parts) * 4 // parts
    sign = "-" if metres < 0 and quarters else ""
    feet, rest = divmod(quarters, 48)
    whole, part = divmod(rest, 4)
    inches = f"{whole}" if not part else f"{whole} {Fraction(part, 4)}" if whole else f"{Fraction(part, 4)}"
    if not feet:
        return f'{sign}{inches}"'
    return f"{sign}{feet}'" if not rest else f"{sign}{feet}' {inches}\""


def about_length(metres: float | None, unit: str = FEET) -> str:
    """To the inch or the decimetre: for reading, not for keeping."""
    if metres is not None and unit == METRES:
        return f"{metres:.1f}".rstrip("0").rstrip(".") + " m"
    return show_length(metres, unit, parts=1)


def parse_pitch(text: str) -> float:
    """Degrees from ``6:12``, ``6/12``, ``6 in 12``, ``26.6°``, ``flat`` or a bare number above 12."""
    said = re.sub(r"\s+", " ", text.strip().lower())
    if said == "flat":
        return 0.0
    pitch = re.match(rf"^({_NUMBER}) ?(?::|/|in|on) ?({_NUMBER})$", said)
    if pitch:
        if float(pitch[2]) == 0:
            raise ValueError("A pitch is rise over run, such as 6:12.")
        return math.degrees(math.atan2(float(pitch[1]), float(pitch[2])))
    degrees = re.match(rf"^({_NUMBER}) ?(°|deg|degrees)?$", said)
    if not degrees:
        raise ValueError("Write the pitch as 6:12 or as degrees, 26.6°.")
    value = float(degrees[1])
    if not degrees[2] and 0 < value <= 12:
        raise ValueError(f"Is that {degrees[1]}:12 or {degrees[1]}°? Write one of the two.")
    return value


def show_pitch(tilt_deg: float | None) -> str:
    """``6:12`` where the tilt is a whole or half pitch, degrees otherwise."""
    if tilt_deg is None:
        return ""
    rise = 12 * math.tan(math.radians(tilt_deg))
    halves = round(rise * 2)
    if 0 < halves <= 48 and abs(rise * 2 - halves) < 0.02:
        return f"{halves / 2:g}:12"
    return f"{tilt_deg:.1f}".rstrip("0").rstrip(".") + "°"


def parse_bearing(text: str) -> float:
    """Degrees clockwise from true north from ``SSW``, ``south-west``, ``192`` or ``192°``."""
    said = text.strip().lower().rstrip("°").strip()
    said = re.sub(r"\s*(deg|degrees)$", "", said)
    if re.match(rf"^({_NUMBER})$", said):
        value = float(said)
        if value > 360:
            raise ValueError("A bearing is between 0° and 360°.")
        return value % 360
    letters = said
    for letter, word in _COMPASS_WORDS.items():
        letters = letters.replace(word, letter.lower())
    letters = re.sub(r"[\s-]", "", letters).upper()
    if letters in _COMPASS:
        return _COMPASS.index(letters) * 22.5
    raise ValueError("Write a bearing in degrees from true north (192) or as a compass word (SSW).")


def compass(bearing_deg: float) -> str:
    """The nearest of sixteen compass letters: 192 → ``SSW``."""
    return _COMPASS[round(bearing_deg / 22.5) % 16]


def show_bearing(bearing_deg: float | None) -> str:
    if bearing_deg is None:
        return ""
    return f"{bearing_deg:.1f}".rstrip("0").rstrip(".") + f"° {compass(bearing_deg)}"
