"""When it may be, in the customer's words and language: ranges out of the office's own history, never a promise."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date

from projects.models import Job, SystemKind
from projects.queries.likely import likely_dates
from projects.route.forecast.predict import DateRange
from projects.screens.customer.drawing import day_in

WORDS: dict[str, dict[str, str]] = {
    "en": {
        "title": "When it may be",
        "lead": "When it may be, if you go ahead",
        "installation": "Installation begins",
        "operation": "Your utility lets the system run",
        "off_grid": "The system may run",
        "half": "{low} to {high}",
        "day": "{low}",
        "most": "nine times in ten between {low} and {high}",
        "booked": "{low}, as planned with you",
        "meaning": "The first range comes true about half of the time. We count both anew every day from how long our "
        "own projects took. They are not a promise: permits, inspectors, your utility and the weather keep their own "
        "pace.",
        "thin": "We have few finished projects to compare with, so the ranges are wide.",
    },
    "es": {
        "title": "Cuándo puede ser",
        "lead": "Cuándo puede ser, si usted sigue adelante",
        "installation": "Empieza la instalación",
        "operation": "Su compañía eléctrica permite encender el sistema",
        "off_grid": "El sistema puede encenderse",
        "half": "{low} a {high}",
        "day": "{low}",
        "most": "nueve de cada diez veces entre el {low} y el {high}",
        "booked": "{low}, como acordamos con usted",
        "meaning": "El primer plazo se cumple más o menos la mitad de las veces. Los contamos de nuevo cada día según "
        "lo que tardaron nuestros propios proyectos. No son una promesa: permisos, inspectores, su compañía eléctrica "
        "y el tiempo llevan su propio ritmo.",
        "thin": "Tenemos pocos proyectos terminados con que comparar; por eso los plazos son amplios.",
    },
}


@dataclass(frozen=True)
class LikelyLine:
    name: str
    half: str
    most: str
    """Empty where a day is booked."""


@dataclass(frozen=True)
class Likely:
    title: str
    lines: tuple[LikelyLine, ...]
    meaning: str


def likely(job: Job, language: str, today: date) -> Likely | None:
    """None where nothing is ahead that a date could be told for."""
    found = likely_dates(job)
    if found is None:
        return None
    told = WORDS[language]
    lines = []
    if found.installation:
        day = found.installation
        if job.install_on and day.low90 == day.high90 == job.install_on:
            booked = told["booked"].format(low=_day(language, job.install_on, today))
            lines.append(LikelyLine(told["installation"], booked, ""))
        else:
            lines.append(_line(told["installation"], day, language, today))
    if found.operation:
        name = told["off_grid" if job.system_kind == SystemKind.OFF_GRID else "operation"]
        lines.append(_line(name, found.operation, language, today))
    if not lines:
        return None
    meaning = f"{told['meaning']} {told['thin']}" if found.thin else told["meaning"]
    return Likely(told["lead" if job.stage == "lead" else "title"], tuple(lines), meaning)


def _line(name: str, found: DateRange, language: str, today: date) -> LikelyLine:
    told = WORDS[language]
    half = told["day" if found.low50 == found.high50 else "half"]
    most = told["most"] if found.low90 != found.high90 else ""
    return LikelyLine(
        name,
        half.format(**_ends(language, found.low50, found.high50, today)),
        most.format(**_ends(language, found.low90, found.high90, today)),
    )


def _ends(language: str, low: date, high: date, today: date) -> dict[str, str]:
    """The year at the range's end alone where both days share it."""
    first = day_in(language, low) if low.year == high.year and low != high else _day(language, low, today)
    return {"low": first, "high": _day(language, high, today)}


def _day(language: str, day: date, today: date) -> str:
    """With the year where it isn't this one."""
    words = day_in(language, day)
    if day.year == today.year:
        return words
    return f"{words} de {day.year}" if language == "es" else f"{words} {day.year}"
