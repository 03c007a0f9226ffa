"""The engineered system: saved revision by revision."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from datetime import date
from typing import Any

from projects.actions import freezing, proposing, redraw
from projects.actions.design_checks import check_design, planes_of
from projects.actions.findings import today
from projects.actions.recording import recording
from projects.actions.roles import OFFICE
from projects.actions.study import begin_study, run_study, start_study
from projects.models import Design, Job, LeadAnswers, Person

DESIGN_FIELDS = (
    "module",
    "inverter",
    "inverter_count",
    "battery",
    "battery_count",
    "storage",
    "generator",
    "plane_modules",
    "strings",
    "connection",
    "dc_run_m",
    "ac_run_m",
)
LOAN_FIELDS = ("loan_rate_per_year", "loan_months")


def save_design(*, job: Job, actor: Person, on: date | None = None, **fields: Any) -> Design:
    """Saves the design: a new revision where it differs from the current one, else the current one as it is.

    ``fields``: module, inverter, inverter_count, battery, battery_count, storage, generator, plane_modules, strings,
    connection, dc_run_m, ac_run_m, loan_rate_per_year, loan_months; what isn't given stays as it was. The reviews of
    the former design are dropped. Loan terms are no part of the design: changing them makes no revision.
    """
    unknown = sorted(set(fields) - {*DESIGN_FIELDS, *LOAN_FIELDS})
    if unknown:
        raise TypeError(f"a design has no {', '.join(unknown)} to be set here")
    with recording(job, actor, OFFICE) as book:
        on = on or today()
        book.findings.happened(job, on)
        current = redraw.current_design(job)
        wanted = _merged(current, fields)
        planes = planes_of(job)
        check_design(book.findings, job, planes, wanted, preliminary=False)
        book.findings.refuse()
        drawn = {key: wanted[key] for key in DESIGN_FIELDS}
        frozen = freezing.freeze(job=job, planes=planes, **drawn)
        if current is not None and not current.preliminary:
            _keep_ratings(frozen, current)
        print_ = freezing.fingerprint(frozen)
        if current is not None and not current.preliminary and current.fingerprint == print_:
            return _loan_alone(book, current, wanted)
        design = Design.objects.create(
            job=job,
            revision=current.revision + 1 if current else 1,
            frozen=frozen,
            fingerprint=print_,
            on=on,
            created_by=actor,
            **wanted,
        )
        book.write("design_saved", on, revision=design.revision_letter, dropped=redraw.drop_reviews(job))
    return design


def preliminary_design(*, job: Job, actor: Person, on: date | None = None) -> Design:
    """Proposes a design for the first-look report from the lead's answers and the catalogue; assumptions are frozen in.

    Where the roof isn't measured yet, one plane facing south is assumed. A real design is never replaced by a proposal.
    """
    with recording(job, actor, OFFICE) as book:
        on = on or today()
        book.findings.happened(job, on)
        current = redraw.current_design(job)
        if current is not None and not current.preliminary:
            book.findings.add("", "There is an engineered design already.")
        if not job.system_kind:
            book.findings.add("kind", "Decide the kind of system first.")
        answers = LeadAnswers.objects.filter(job=job).first()
        if answers is None or not answers.usage_answered:
            book.findings.add("usage", "The electric use is not known yet.")
        elif not answers.usage_known and not job.load_lines.exists():
            book.findings.add("loads", "No bill tells what the house uses: list its loads on the worksheet first.")
        book.findings.refuse()
        assert answers is not None
        proposal = proposing.propose(job, answers, book.findings)
        book.findings.refuse()
        assert proposal is not None
        frozen = freezing.freeze(job=job, planes=proposal.planes, assumptions=proposal.assumptions, **proposal.design)
        print_ = freezing.fingerprint(frozen)
        if current is not None and current.fingerprint == print_:
            book.unchanged()
            return current
        design = Design.objects.create(
            job=job,
            revision=current.revision + 1 if current else 1,
            preliminary=True,
            frozen=frozen,
            fingerprint=print_,
            on=on,
            created_by=actor,
            **proposal.design,
        )
        book.write("design_proposed", on, revision=design.revision_letter)
    return design


def _merged(current: Design | None, fields: Mapping[str, Any]) -> dict[str, Any]:
    defaults = {
        field.name: field.get_default() for field in Design._meta.concrete_fields if field.name in DESIGN_FIELDS
    }
    wanted: dict[str, Any] = {**defaults, **{key: Design._meta.get_field(key).get_default() for key in LOAN_FIELDS}}
    if current is not None:
        keep = LOAN_FIELDS if current.preliminary else (*DESIGN_FIELDS, *LOAN_FIELDS)
        wanted.update({key: getattr(current, key) for key in keep})
    wanted.update(fields)
    wanted["plane_modules"] = _lines(wanted["plane_modules"])
    wanted["strings"] = _lines(wanted["strings"])
    if wanted["battery"] is None:
        wanted["battery_count"], wanted["storage"] = 0, {}
    wanted["storage"] = {key: value for key, value in (wanted["storage"] or {}).items() if value not in (None, "")}
    return wanted


def _lines(lines: Sequence[Mapping[str, Any]] | None) -> list[dict[str, Any]]:
    return [dict(line) for line in lines or []]


def _keep_ratings(frozen: dict[str, Any], current: Design) -> None:
    """A catalogue edited since then doesn't change what was designed, as long as the same model stays."""
    for part in ("module", "inverter", "battery", "generator"):
        former = current.frozen.get(part)
        if former and frozen[part] and frozen[part]["name"] == former["name"]:
            frozen[part] = former


def _loan_alone(book: Any, current: Design, wanted: Mapping[str, Any]) -> Design:
    changed = {key: wanted[key] for key in LOAN_FIELDS if wanted[key] != getattr(current, key)}
    if not changed:
        book.unchanged()
        return current
    Design.objects.filter(pk=current.pk).update(**changed)
    current.refresh_from_db()
    rate = f"{float(current.loan_rate_per_year) * 100:.2f}"
    book.write("loan_terms_set", rate_pct=rate, months=current.loan_months)
    return current


__all__ = ["begin_study", "preliminary_design", "run_study", "save_design", "start_study"]
