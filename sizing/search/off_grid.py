"""Candidates without a grid, followed through a year many at a time."""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np

from sizing.backup.designs import Designs, hours_short_of_designs
from sizing.backup.off_grid import days_of_autonomy
from sizing.backup.plant import Plant, plant_of
from sizing.climate.hours import HOURS_PER_YEAR, Floats
from sizing.loads.hours import LoadsHours
from sizing.search.answer import Found
from sizing.study.request import Battery, StudyRequest

MOST_ARRAYS = 400
"""Held at once: a year of each takes 70 kB, and as much again while it is followed."""


@dataclass(frozen=True, eq=False)
class _Waiting:
    place: int
    array_row: int
    plant: Plant


class OffGridYears:
    """Takes the candidates in the order in which they are found and tells the hours short of each, as the study of the
    design without a generator does: a year begun with the charge that a year before leaves.
    """

    def __init__(self, loads: LoadsHours, start_state_of_charge: float) -> None:
        self.load_w = loads.use_w
        self.mean_kw = float(loads.use_w.mean()) / 1000
        self.start = start_state_of_charge
        self.hours_short: list[int] = []
        self.autonomy_days: list[float] = []
        self._arrays: list[Floats] = []
        self._waiting: list[_Waiting] = []

    def add(self, dc_w: Floats, request: StudyRequest, battery: Battery | None) -> None:
        if not self._arrays or self._arrays[-1] is not dc_w:
            if len(self._arrays) >= MOST_ARRAYS:
                self._follow()
            self._arrays.append(dc_w)
        plant = plant_of(replace(request, battery=battery))
        self._waiting.append(_Waiting(len(self.hours_short), len(self._arrays) - 1, plant))
        self.hours_short.append(0)
        self.autonomy_days.append(days_of_autonomy(plant, self.mean_kw))

    def told(self, found: list[Found]) -> list[Found]:
        """The candidates, which are those that were added, with their figures."""
        self._follow()
        return [
            replace(one, hours_short=short, carried_share=1 - short / HOURS_PER_YEAR, autonomy_days=days)
            for one, short, days in zip(found, self.hours_short, self.autonomy_days, strict=True)
        ]

    def _follow(self) -> None:
        """Designs that differ in array and battery alone go through the year side by side."""
        alike: dict[tuple[float, ...], list[_Waiting]] = {}
        for one in self._waiting:
            plant = one.plant
            key = (
                plant.charge_efficiency,
                plant.discharge_efficiency,
                plant.inverter_efficiency,
                plant.inverter_limit_w,
                plant.standby_w,
            )
            alike.setdefault(key, []).append(one)
        arrays = np.array(self._arrays)
        for group in alike.values():
            plants = [one.plant for one in group]
            designs = Designs(
                np.ones(len(group)),
                np.array([plant.capacity_wh for plant in plants]),
                np.array([plant.reserve_wh for plant in plants]),
                np.array([plant.charge_limit_w for plant in plants]),
                np.array([plant.discharge_limit_w for plant in plants]),
                np.array([one.array_row for one in group], dtype=np.int64),
            )
            _, stored = hours_short_of_designs(
                plants[0], designs, arrays, self.load_w, designs.capacity_wh * self.start
            )
            short, _ = hours_short_of_designs(plants[0], designs, arrays, self.load_w, stored)
            for one, hours in zip(group, short.tolist(), strict=True):
                self.hours_short[one.place] = hours
        self._arrays, self._waiting = [], []
