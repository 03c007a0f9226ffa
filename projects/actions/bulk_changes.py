"""What can be done to many jobs at once: each is one of the actions on a single job, with its values chosen once."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date
from typing import Protocol

from projects.actions import closing, office, pausing, snoozing
from projects.actions.findings import in_words
from projects.models import Job, Jurisdiction, Pause, Person, Snooze, Utility


class Change(Protocol):
    def make(self, job: Job, actor: Person) -> object:
        """Calls the action. Raises Problems with every reason why not."""

    def holds(self, job: Job) -> bool:
        """The job has it already: there is nothing to do."""

    def stands(self, job: Job) -> Mapping[str, str]:
        """What the change is about, as it stands on the job: label and words."""


@dataclass(frozen=True)
class Assign:
    person: Person | None

    def make(self, job: Job, actor: Person) -> object:
        return office.assign(job=job, person=self.person, actor=actor)

    def holds(self, job: Job) -> bool:
        return job.assigned_to_id == (self.person.pk if self.person else None)

    def stands(self, job: Job) -> Mapping[str, str]:
        return {"Looked after by": job.assigned_to.name if job.assigned_to else "nobody yet"}


@dataclass(frozen=True)
class PutOff:
    """The next step of each job, whatever it is."""

    until: date
    reason: str

    def make(self, job: Job, actor: Person) -> object:
        return snoozing.snooze(job=job, key=job.next_key, actor=actor, until=self.until, reason=self.reason)

    def holds(self, job: Job) -> bool:
        return self._running(job, until=self.until) is not None

    def stands(self, job: Job) -> Mapping[str, str]:
        running = self._running(job)
        back = f"back on the desk {in_words(running.until)}" if running else "on the desk"
        return {"Next step": f"{_step(job)}: {back}"}

    @staticmethod
    def _running(job: Job, **also: date) -> Snooze | None:
        return Snooze.objects.filter(job=job, key=job.next_key, ended_at=None, **also).first()


@dataclass(frozen=True)
class SetAuthorities:
    """None leaves what the job has."""

    jurisdiction: Jurisdiction | None = None
    utility: Utility | None = None

    def make(self, job: Job, actor: Person) -> object:
        return office.set_authorities(
            job=job,
            actor=actor,
            jurisdiction=self.jurisdiction or job.jurisdiction,
            utility=self.utility or job.utility,
        )

    def holds(self, job: Job) -> bool:
        return (self.jurisdiction is None or job.jurisdiction_id == self.jurisdiction.pk) and (
            self.utility is None or job.utility_id == self.utility.pk
        )

    def stands(self, job: Job) -> Mapping[str, str]:
        return {
            "Jurisdiction": job.jurisdiction.name if job.jurisdiction else "not known yet",
            "Utility": job.utility.name if job.utility else "not known yet",
            # Another profile, another route.
            "Stage": job.get_stage_display(),
            "Next step": _step(job),
        }


@dataclass(frozen=True)
class Rest:
    cause: str
    reason: str
    look_again_on: date

    def make(self, job: Job, actor: Person) -> object:
        return pausing.pause_job(
            job=job, actor=actor, cause=self.cause, reason=self.reason, look_again_on=self.look_again_on
        )

    def holds(self, job: Job) -> bool:
        wanted = {"cause": self.cause, "reason": self.reason.strip(), "look_again_on": self.look_again_on}
        return Pause.objects.filter(job=job, ended_on=None, **wanted).exists()

    def stands(self, job: Job) -> Mapping[str, str]:
        pause = Pause.objects.filter(job=job, ended_on=None).first()
        if pause is None:
            return {"The job": f"Goes on: {_step(job)}"}
        return {"The job": f"Rests until {in_words(pause.look_again_on)}: {pause.get_cause_display()}"}


@dataclass(frozen=True)
class Lose:
    reason: str

    def make(self, job: Job, actor: Person) -> object:
        return closing.close_job(job=job, actor=actor, outcome=Job.Outcome.LOST, reason=self.reason)

    def holds(self, job: Job) -> bool:
        return job.outcome == Job.Outcome.LOST and job.outcome_reason == self.reason.strip()

    def stands(self, job: Job) -> Mapping[str, str]:
        return {"The job": job.get_outcome_display() if job.outcome else f"Open: {_step(job)}"}


def _step(job: Job) -> str:
    return f"{job.next_step or 'nothing left to do'}{f', due {in_words(job.due_on)}' if job.due_on else ''}"
