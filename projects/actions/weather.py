"""The office's weather shelf: a typical-year file is checked on the way in, and the nearest one serves a site."""

from __future__ import annotations

import hashlib
import math
import re
import tempfile
from collections.abc import Sequence
from pathlib import Path
from typing import Any, BinaryIO

from django.core.files.base import ContentFile
from django.db import transaction
from django.utils import timezone

from projects import studies
from projects.actions import journal
from projects.actions.findings import Findings
from projects.actions.recording import recording, written_once
from projects.actions.roles import OFFICE, require
from projects.models import Job, Person, Site, SiteWeather, Stage, WeatherFile

SUFFIXES = (".tm2", ".csv", ".epw")
MOST_BYTES = 20 * 1024 * 1024
MOST_KWH_PER_M2_DAY = 12.0
BEFORE_PERMITS = (Stage.LEAD, Stage.SITE_ASSESSMENT, Stage.ENGINEERING)
"""Jobs whose numbers are still in the making: their journals say when other weather serves them."""


def add_weather_file(*, actor: Person, upload: BinaryIO | Any, source: str) -> WeatherFile:
    """Puts a TMY2, TMY3 or EPW file on the shelf; the same file again brings a retired one back.

    It is read and checked before anything is locked, since that takes up to a second.
    """
    require(actor, OFFICE)
    findings = Findings()
    findings.need("source", source, "Say where the file comes from.")
    if len(source.strip()) > 160:
        findings.add("source", "At most 160 characters.")
    filename = _tidy(str(getattr(upload, "name", "") or ""))
    content = _content(findings, upload, filename)
    facts = _checked(findings, content, filename) if content else None
    findings.refuse()
    assert content is not None and facts is not None
    digest = hashlib.sha256(content).hexdigest()
    known = WeatherFile.objects.filter(sha256=digest).first()
    if known is not None and known.retired_at is None:
        findings.add("upload", f"This very file is on the shelf already, as {known}.")
        findings.refuse()
    with transaction.atomic():
        before = _serving()
        if known is not None:
            updated = WeatherFile.objects.filter(pk=known.pk).exclude(retired_at=None)
            written_once(updated.update(retired_at=None, retired_by=None, retired_reason="", source=source.strip()))
            known.refresh_from_db()
            row = known
        else:
            row = WeatherFile(sha256=digest, filename=filename, source=source.strip(), added_by=actor, **facts)
            row.file.save(filename, ContentFile(content), save=False)
            try:
                row.save()
            except BaseException:
                row.file.storage.delete(row.file.name)
                raise
        _tell(before, actor)
    return row


def retire_weather_file(*, actor: Person, weather: WeatherFile, reason: str) -> WeatherFile:
    """Takes a file out of use. It stays stored, since studies name it; sites that chose it go back to the nearest."""
    require(actor, OFFICE)
    findings = Findings()
    findings.need("reason", reason, "Say why it is no longer used.")
    if len(reason.strip()) > 200:
        findings.add("reason", "At most 200 characters.")
    findings.refuse()
    with transaction.atomic():
        before = _serving()
        written_once(
            WeatherFile.objects.filter(pk=weather.pk, retired_at=None).update(
                retired_at=timezone.now(), retired_by=actor, retired_reason=reason.strip()
            )
        )
        SiteWeather.objects.filter(file=weather, choice=SiteWeather.Choice.FILE).update(
            choice=SiteWeather.Choice.NEAREST
        )
        _tell(before, actor)
    weather.refresh_from_db()
    return weather


def choose_weather(
    *,
    job: Job,
    actor: Person,
    choice: str,
    file: WeatherFile | None = None,
    ghi_kwh_per_m2_day: Sequence[float] = (),
    temp_air_c: Sequence[float] = (),
    means_source: str = "",
) -> SiteWeather:
    """Which weather the site is studied with. Monthly means typed earlier are kept while another choice is in use."""
    with recording(job, actor, OFFICE) as book:
        findings = book.findings
        row = SiteWeather.objects.filter(site=job.site).first() or SiteWeather(site=job.site)
        former = (row.choice, row.file_id, row.ghi_kwh_per_m2_day, row.temp_air_c, row.means_source)
        if choice not in SiteWeather.Choice.values:
            findings.add("choice", "Choose where the weather comes from.")
        if choice == SiteWeather.Choice.FILE and (file is None or file.retired_at is not None):
            findings.add("file", "Choose a file that is in use.")
        if choice == SiteWeather.Choice.MEANS:
            _check_means(findings, ghi_kwh_per_m2_day, temp_air_c, means_source)
        findings.refuse()
        row.choice = choice
        if choice == SiteWeather.Choice.FILE:
            row.file = file
        if choice == SiteWeather.Choice.MEANS:
            row.ghi_kwh_per_m2_day = [float(value) for value in ghi_kwh_per_m2_day]
            row.temp_air_c = [float(value) for value in temp_air_c]
            row.means_source = means_source.strip()
        if row.pk and former == (row.choice, row.file_id, row.ghi_kwh_per_m2_day, row.temp_air_c, row.means_source):
            book.unchanged()
            return row
        row.save()
        book.write("weather_chosen", weather=_in_words(row))
    return row


def _in_words(row: SiteWeather) -> str:
    if row.choice == SiteWeather.Choice.FILE:
        return str(row.file)
    return "monthly means" if row.choice == SiteWeather.Choice.MEANS else "the nearest file"


def _check_means(
    findings: Findings, ghi_kwh_per_m2_day: Sequence[float], temp_air_c: Sequence[float], source: str
) -> None:
    bounds = (("ghi_kwh_per_m2_day", 0.0, MOST_KWH_PER_M2_DAY, "kWh/m²"), ("temp_air_c", -60.0, 50.0, "°C"))
    for field, low, high, unit in bounds:
        values = ghi_kwh_per_m2_day if field == "ghi_kwh_per_m2_day" else temp_air_c
        if len(values) != 12:
            findings.add(field, f"Twelve values, one for each month; {len(values)} are given.")
        for month, value in enumerate(values, start=1):
            if not math.isfinite(value) or not low <= value <= high:
                findings.add(field, f"Month {month}: between {low:g} and {high:g} {unit}.")
    if len(ghi_kwh_per_m2_day) == 12 and sum(ghi_kwh_per_m2_day) <= 0:
        findings.add("ghi_kwh_per_m2_day", "There is no sun in any month.")
    findings.need("means_source", source, "Say where the means come from.")


def _tidy(filename: str) -> str:
    """A stranger's file name as one plain name: letters, digits, dots, dashes."""
    plain = re.sub(r"[^A-Za-z0-9._-]+", "_", filename.replace("\\", "/").rsplit("/", 1)[-1]).lstrip("._")
    stem, dot, suffix = plain.rpartition(".")
    return f"{stem[:100]}{dot}{suffix[:10]}"


def _content(findings: Findings, upload: Any, filename: str) -> bytes | None:
    if upload is None:
        findings.add("upload", "Choose a file.")
        return None
    if not filename.lower().endswith(SUFFIXES):
        findings.add("upload", "A typical year ends in .tm2 (TMY2), .csv (TMY3) or .epw (EPW).")
        return None
    content: bytes = upload.read(MOST_BYTES + 1)
    if len(content) > MOST_BYTES:
        findings.add("upload", "Larger than 20 MB: a typical year has 2 MB at most.")
        return None
    if not content:
        findings.add("upload", "The file is empty.")
        return None
    return content


def _checked(findings: Findings, content: bytes, filename: str) -> dict[str, Any] | None:
    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder) / filename
        path.write_bytes(content)
        try:
            return studies.look_into(path)
        except studies.InputErrors as errors:
            for problem in errors.problems:
                words = problem.message.replace(f"{path.parent}/", "")
                findings.add("upload", f"{words[:1].upper()}{words[1:]}.")
    return None


def _open_jobs() -> list[Job]:
    return list(
        Job.objects.filter(outcome="", stage__in=BEFORE_PERMITS)
        .exclude(designs=None)
        .select_related("site", "site__weather")
    )


def _serving() -> dict[int, str | None]:
    """By job: the file that serves it, None for one that the program carries."""
    rows = list(WeatherFile.objects.filter(retired_at=None))
    return {job.pk: _server(job.site, rows) for job in _open_jobs()}


def _server(site: Site, rows: list[WeatherFile]) -> str | None:
    chosen = getattr(site, "weather", None)
    if chosen is not None and chosen.choice == SiteWeather.Choice.MEANS:
        return "means"
    if chosen is not None and chosen.choice == SiteWeather.Choice.FILE:
        return f"file {chosen.file_id}"
    nearest = next(iter(studies.shelf_of(site, rows)), None)
    return nearest.file if nearest else None


def _tell(before: dict[int, str | None], actor: Person) -> None:
    """The journals of the jobs that other weather serves now."""
    rows = list(WeatherFile.objects.filter(retired_at=None))
    for job in _open_jobs():
        if job.pk in before and _server(job.site, rows) != before[job.pk]:
            nearest = studies.shelf_of(job.site, rows)[0]
            journal.append(
                job, actor, "weather_changed", None, {"weather": nearest.name, "km": f"{nearest.distance_km:.0f}"}
            )
