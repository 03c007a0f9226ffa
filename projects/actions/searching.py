"""A search over the catalogue for the designs that a house allows, and taking one of them as the job's design."""

from __future__ import annotations

import logging
from decimal import Decimal

from django.utils import timezone

from projects import studies
from projects.actions import background, design
from projects.actions.design_checks import FITTING_INVERTERS
from projects.actions.problems import Problem, Problems
from projects.actions.recording import Book, recording
from projects.actions.roles import OFFICE, require
from projects.models import (
    BatteryModel,
    Design,
    DesignSearch,
    InverterModel,
    Job,
    ModuleModel,
    Person,
    SystemKind,
)

FAILED = "The search failed; the log says why."
log = logging.getLogger(__name__)


def catalogue_of(job: Job) -> studies.Catalogue:
    """What the catalogue offers for this kind of system."""
    kind = SystemKind(job.system_kind)
    inverters = InverterModel.objects.filter(active=True, kind__in=FITTING_INVERTERS[kind])
    if kind != SystemKind.GRID_TIED:
        inverters = inverters.filter(backup_power_w__gt=0)
    batteries = (
        BatteryModel.objects.filter(active=True) if kind != SystemKind.GRID_TIED else BatteryModel.objects.none()
    )
    return studies.Catalogue(list(ModuleModel.objects.filter(active=True)), list(inverters), list(batteries))


def gaps(job: Job) -> list[Problem]:
    """What has to be there before anything can be searched; ``field`` says where it is entered."""
    if not job.system_kind:
        return [Problem("kind", "The kind of system is not decided yet.")]
    if job.system_kind == SystemKind.OFF_GRID:
        words = "Off the grid there is no bill to offset: the study’s curve of array against battery is the guide."
        return [Problem("off_grid", words)]
    catalogue, found = catalogue_of(job), []
    if not job.site.roof_planes.exists():
        found.append(Problem("roof", "No roof plane is recorded yet."))
    if job.utility is None:
        found.append(Problem("utility", "The utility is not set: without its prices no bill can be compared."))
    if not catalogue.modules:
        found.append(Problem("catalogue", "The catalogue has no module."))
    if not catalogue.inverters:
        words = f"The catalogue has no inverter for this kind of system ({job.get_system_kind_display().lower()})."
        found.append(Problem("catalogue", words))
    if job.system_kind == SystemKind.HYBRID and not catalogue.batteries:
        found.append(Problem("catalogue", "The catalogue has no battery."))
    return found


def start_search(
    *,
    job: Job,
    actor: Person,
    bill_offset: float,
    ride_through_share: float,
    most_usd: Decimal | None = None,
) -> DesignSearch:
    """Starts a search in the background and returns its row; one that is running already is returned instead.

    ``bill_offset`` and ``ride_through_share`` (of outages as long as the household wants) from 0 to 1. The journal
    gets its row when the search ends.
    """
    running = DesignSearch.objects.filter(job=job, state="running").order_by("-pk").first()
    if running is not None and not background.is_gone(running):
        require(actor, OFFICE)
        return running
    with recording(job, actor, OFFICE) as book:
        _check(book, bill_offset, ride_through_share, most_usd)
        book.findings.refuse()
        wish = {
            "bill_offset": bill_offset,
            "ride_through_share": ride_through_share,
            "most_usd": None if most_usd is None else float(most_usd),
        }
        run = DesignSearch.objects.create(job=job, wish=wish, started_by=actor)
        book.unchanged()
    background.launch(run, carry_on)
    return run


def _check(book: Book, bill_offset: float, ride_through_share: float, most_usd: Decimal | None) -> None:
    findings = book.findings
    for field, value in (("bill_offset", bill_offset), ("ride_through_share", ride_through_share)):
        if value is None or not 0 <= value <= 1:
            findings.add(field, "A share between 0 and 100 %.")
    if most_usd is not None and not 0 < most_usd <= 10_000_000:
        findings.add("most_usd", "Dollars, above 0.")
    for problem in gaps(book.job):
        findings.add("", problem.message)


def carry_on(run: background.Run) -> None:
    """What a background thread does with a search's row, at the first try and at any later one."""
    begun = DesignSearch.objects.select_related("job", "started_by").get(pk=run.pk)
    job = begun.job
    try:
        catalogue = catalogue_of(job)
        asked = studies.asked_of(job, catalogue)
        wanted = studies.Wanted(**begun.wish)
        result = studies.look_for(job, catalogue, wanted, lambda words, part: background.tell(begun, words, part))
    except studies.InputErrors as errors:
        problems = studies.problems_of(errors)
        field = next((problem.field for problem in problems if problem.field), "")
        _ended(begun, state="failed", problem="\n".join(p.message for p in problems), problem_field=field)
        raise Problems(problems) from errors
    except Exception:
        log.exception("search %s failed", run.pk)
        _ended(begun, state="failed", problem=FAILED)
        raise
    _ended(begun, state="done", progress=1.0, progress_words="Done", asked=asked, result=result)


def _ended(run: DesignSearch, **values: object) -> None:
    with recording(run.job, run.started_by, OFFICE) as book:
        if not background.living(run).update(finished_at=timezone.now(), **values):
            book.unchanged()  # another attempt has taken over
            return
        result = values.get("result")
        if isinstance(result, dict):
            book.write("search_done", search=run.pk, tried=f"{result['tried']:,}", passing=f"{result['passing']:,}")
        else:
            book.write("search_failed", search=run.pk)


def settle(run: DesignSearch) -> DesignSearch:
    """For whoever shows progress: a search whose process is gone is begun again."""
    background.settle(run, carry_on)
    return run


def take_design(*, job: Job, actor: Person, search: DesignSearch, place: int) -> Design:
    """Draws the design at this place of the search's answer as the job's next revision; generator and runs stay.

    Raises Problems where the answer has no such place, or the catalogue no longer offers what it names.
    """
    require(actor, OFFICE)
    found = search.result.get("designs", []) if search.job_id == job.pk else []
    if not 0 <= place < len(found):
        raise Problems([Problem("", "That design is not among those found.")])
    chosen = found[place]
    module = ModuleModel.objects.filter(pk=chosen["module_id"]).first()
    inverter = InverterModel.objects.filter(pk=chosen["inverter_id"]).first()
    battery = BatteryModel.objects.filter(pk=chosen["battery_id"]).first() if chosen["battery_id"] else None
    if module is None or inverter is None or (battery is None and chosen["battery_units"]):
        raise Problems([Problem("", "The catalogue no longer has what this design is made of; search again.")])
    return design.save_design(
        job=job,
        actor=actor,
        module=module,
        inverter=inverter,
        inverter_count=chosen["inverter_count"],
        battery=battery,
        battery_count=chosen["battery_units"],
        plane_modules=chosen["plane_modules"],
        strings=chosen["strings"],
    )
