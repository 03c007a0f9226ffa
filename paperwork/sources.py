"""Where a paper's facts come from: the job, its current design and the study of it, fetched once."""

from __future__ import annotations

from dataclasses import dataclass

from paperwork.freeze import current_design, latest_study
from projects.actions.problems import Problem
from projects.models import Design, Job, OfficeProfile, StudyRun

KIND_UNDECIDED = "Decide the kind of system first."


@dataclass(frozen=True)
class Sources:
    job: Job
    design: Design | None
    study: StudyRun | None
    profile: OfficeProfile | None

    @property
    def study_is_current(self) -> bool:
        return (
            self.study is not None
            and self.design is not None
            and self.study.design_fingerprint == self.design.fingerprint
        )


def sources_of(job: Job) -> Sources:
    return Sources(job, current_design(job), latest_study(job), OfficeProfile.current())


def common_problems(sources: Sources) -> list[Problem]:
    """What no paper goes out without."""
    found = []
    if sources.profile is None or not sources.profile.name:
        found.append(Problem("firm", "The office's own name and telephone number are not set; papers carry them."))
    return found


def design_problems(sources: Sources) -> list[Problem]:
    """For papers that show the design in numbers: they need a finished study of exactly this design."""
    found = common_problems(sources)
    if not sources.job.system_kind:
        found.append(Problem("kind", KIND_UNDECIDED))
    if sources.design is None:
        found.append(Problem("design", "There is no design yet."))
    elif sources.study is None:
        found.append(Problem("study", "The design has not been studied yet: run the study first."))
    elif not sources.study_is_current:
        found.append(Problem("study", "The design has changed since the study: run the study again."))
    elif sources.study.result["request"]["system_type"] != sources.job.system_kind:
        found.append(Problem("study", "The study looked at another kind of system: run the study again."))
    return found
