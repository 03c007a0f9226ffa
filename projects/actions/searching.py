"""A search over the catalogue for the designs that a house allows, and taking one of them as the job's design."""

from __future__ import annotations

import logging
from collections.abc import Mapping
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

MOST_DAYS = 30
FAILED = "The search failed; the log says why."
log = logging.getLogger(__name__)


def catalogue_of(job: Job) -> studies.Catalogue:
    """What the catalogue offers for this kind of system.

    A plain PV inverter is offered where there is a battery with an inverter of its own for it to follow.
    """
    kind = SystemKind(job.system_kind)
    modules = list(ModuleModel.objects.filter(active=True))
    offered = InverterModel.objects.filter(active=True)
    inverters = list(offered.filter(kind__in=FITTING_INVERTERS[kind]))
    if kind == SystemKind.GRID_TIED:
        return studies.Catalogue(modules, inverters, [])
    batteries = list(BatteryModel.objects.filter(active=True))
    if any(row.coupling == BatteryModel.Coupling.AC for row in batteries):
        fitting = FITTING_INVERTERS[kind] | FITTING_INVERTERS[SystemKind.GRID_TIED]
        inverters = list(offered.filter(kind__in=fitting))
    else:
        inverters = [row for row in inverters if row.backup_power_w > 0]
    return studies.Catalogue(modules, inverters, batteries)


def gaps(job: Job) -> list[Problem]:
    """What has to be there before anything can be searched; ``field`` says where it is entered."""
    if not job.system_kind:
        return [Problem("kind", "The kind of system is not decided yet.")]
    catalogue, found = catalogue_of(job), []
    if not job.site.roof_planes.exists():
        found.append(Problem("roof", "No roof plane is recorded yet."))
    if job.utility is None and job.system_kind != SystemKind.OFF_GRID:
        found.append(Problem("utility", "The utility is not set: without its prices no bill can be compared."))
    if not catalogue.modules:
        found.append(Problem("catalogue", "The catalogue has no module."))
    if not catalogue.inverters:
        words = f"The catalogue has no inverter for this kind of system ({job.get_system_kind_display().lower()})."
        found.append(Problem("catalogue", words))
    if job.system_kind != SystemKind.GRID_TIED and not catalogue.batteries:
        found.append(Problem("catalogue", "The catalogue has no battery."))
    return found


def start_search(
    *,
    job: Job,
    actor: Person,
    bill_offset: float = 0.0,
    ride_through_share: float = 0.0,
    carried_share: float = 0.0,
    autonomy_days: float = 0.0,
    most_usd: Decimal | None = None,
) -> DesignSearch:
    """Starts a search in the background and returns its row; one that is running already is returned instead.

    ``bill_offset`` and ``ride_through_share`` (of outages as long as the household wants) from 0 to 1; off the grid
    ``carried_share`` of the year's hours and ``autonomy_days`` without sun. The journal gets its row when the search
    ends.
    """
    running = DesignSearch.objects.filter(job=job, state="running").order_by("-pk").first()
    if running is not None and not background.is_gone(running):
        require(actor, OFFICE)
        return running
    with recording(job, actor, OFFICE) as book:
        wish = {
            "bill_offset": bill_offset,
            "ride_through_share": ride_through_share,
            "carried_share": carried_share,
            "autonomy_days": autonomy_days,
            "most_usd": None if most_usd is None else float(most_usd),
        }
        _check(book, wish)
        book.findings.refuse()
        run = DesignSearch.objects.create(job=job, wish=wish, started_by=actor)
        book.unchanged()
    background.launch(run, carry_on)
    return run


def _check(book: Book, wish: Mapping[str, float | None]) -> None:
    findings = book.findings
    for field in ("bill_offset", "ride_through_share", "carried_share"):
        value = wish[field]
        if value is None or not 0 <= value <= 1:
            findings.add(field, "A share between 0 and 100 %.")
    days = wish["autonomy_days"]
    if days is None or not 0 <= days <= MOST_DAYS:
        findings.add("autonomy_days", f"Days, 0 to {MOST_DAYS}.")
    most_usd = wish["most_usd"]
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
