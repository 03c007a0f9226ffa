"""The load worksheet as ``sizing`` takes it."""

from __future__ import annotations

from typing import Any

from projects import appliances
from projects.models import Job, LeadAnswers, LoadLine
from sizing.study import request as ask


def appliance_of(line: LoadLine) -> ask.Appliance:
    return ask.Appliance(
        name=line.name,
        kind=line.kind,  # type: ignore[arg-type]
        watts=line.watts,
        hours_per_day=line.hours_per_day,
        count=line.count,
        tier=line.tier,  # type: ignore[arg-type]
        months=tuple(line.months),
        voltage_v=line.voltage_v,
        locked_rotor_a=line.locked_rotor_a,
        starting_w=line.starting_w,
        horsepower=line.horsepower,
        code_letter=line.code_letter.upper() or None,
        soft_starter=line.soft_starter,
    )


def starting_w(line: LoadLine) -> float:
    """What it takes to start one unit (W); its running power where there is no motor."""
    from sizing.loads.starting import start_of

    return start_of(appliance_of(line)).starting_w


def appliances_of(job: Job, answers: LeadAnswers | None) -> tuple[ask.Appliance, ...]:
    """The worksheet; before there is one, what the household said must run, as the library knows it."""
    lines = list(job.load_lines.all())
    if lines:
        return tuple(appliance_of(line) for line in lines)
    keys = appliances.known_keys(answers.must_run if answers else [])
    return tuple(appliance_of(LoadLine(**{**appliances.fields_of(key), "tier": "must_run"})) for key in keys)


def appliance_library() -> list[dict[str, Any]]:
    """Entries with "key" and "source" beside the fields of LoadLine."""
    return appliances.library()
