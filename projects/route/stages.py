"""The stages of the route in order, with their titles."""

from __future__ import annotations

from dataclasses import dataclass

from projects.route.facts import JobFacts, SystemType


@dataclass(frozen=True)
class Stage:
    key: str
    title: str
    off_grid_title: str = ""
    """Where an off-grid job calls the stage something else."""
    off_grid: bool = True
    """Whether an off-grid job passes through it."""

    def title_for(self, system_type: SystemType | None) -> str:
        return self.off_grid_title if system_type == "off_grid" and self.off_grid_title else self.title


STAGES: tuple[Stage, ...] = (
    Stage("lead", "Lead"),
    Stage("site_assessment", "Site assessment"),
    Stage("engineering", "Engineering"),
    Stage("permits", "Permits"),
    Stage("installation", "Installation"),
    Stage("inspection", "Inspection"),
    Stage("interconnection", "Interconnection", off_grid=False),
    Stage("operation", "Permission to operate", off_grid_title="Ready to operate"),
    Stage("in_service", "In service"),
)

STAGE_KEYS: tuple[str, ...] = tuple(stage.key for stage in STAGES)

_OFF_GRID_STAGES = tuple(stage for stage in STAGES if stage.off_grid)
_BY_KEY = {stage.key: stage for stage in STAGES}


def stage_title(key: str, system_type: SystemType | None = None) -> str:
    """The stage's title for this kind of system. Raises KeyError for an unknown stage."""
    return _BY_KEY[key].title_for(system_type)


def stages_of(facts: JobFacts) -> tuple[Stage, ...]:
    """The stages this job passes through. An undecided system type shows the grid-tied route."""
    return _OFF_GRID_STAGES if facts.system_type == "off_grid" else STAGES
