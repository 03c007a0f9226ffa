"""``manage.py papers``: files for what can be written, reasons for what can't, and an exit code that says which."""

from __future__ import annotations

import io
from decimal import Decimal
from pathlib import Path

import pytest
from django.core.management import CommandError, call_command

from paperwork.billing import issue_invoice
from paperwork.models import IssuedPaper
from projects.actions.office import set_price
from projects.models import Job, OfficeProfile, Person
from tests import factories
from tests.paperwork.reading import reader
from tests.paperwork.test_packet import ready_job

pytestmark = pytest.mark.django_db


def papers(job: Job, out: Path, *more: str) -> tuple[str, int]:
    """What it said, and its exit code."""
    said = io.StringIO()
    try:
        call_command("papers", str(job.number), "--out", str(out), *more, stdout=said)
    except SystemExit as ended:
        return said.getvalue(), int(ended.code or 0)
    return said.getvalue(), 0


def test_previews_of_all_that_can_be_written_and_reasons_for_the_rest(firm: OfficeProfile, tmp_path: Path) -> None:
    job = ready_job()
    said, code = papers(job, tmp_path / "new" / "folder")
    names = {path.name for path in (tmp_path / "new" / "folder").iterdir()}
    wanted = {"FL", "SL", "CL", "CS", "LS", "BP", "EP", "IA", "JS", "RP"}
    assert names == {f"{job.label}-{part}-preview.pdf" for part in wanted}
    assert code == 3 and "not written: Handover packet" in said
    assert "    Not done yet: the system is switched on for good." in said
    assert "10 of 11 papers" in said
    page = reader((tmp_path / "new" / "folder" / f"{job.label}-CL-preview.pdf").read_bytes()).pages[0]
    assert "preview, not issued" in page.extract_text()
    assert not IssuedPaper.objects.exists()


def test_nothing_missing_is_exit_code_nought(firm: OfficeProfile, tmp_path: Path) -> None:
    said, code = papers(ready_job(), tmp_path / "out", "--kind", "checklist", "--kind", "labels")
    assert code == 0 and len(list((tmp_path / "out").iterdir())) == 2, said


def test_issued_in_somebodys_name_the_files_are_the_kept_bytes(
    firm: OfficeProfile, office: Person, tmp_path: Path
) -> None:
    job = ready_job()
    _, code = papers(job, tmp_path, "--kind", "checklist", "--issue-as", office.username)
    paper = IssuedPaper.objects.get(job=job)
    assert code == 0 and paper.issued_by == office
    assert (tmp_path / paper.file_name).read_bytes() == bytes(paper.content)


def test_invoices_that_went_out_are_copied_and_none_is_made(
    firm: OfficeProfile, office: Person, tmp_path: Path
) -> None:
    job = set_price(job=factories.job_at("installation"), actor=office, price_usd=Decimal("38420"))
    invoice = issue_invoice(job=job, part=1, actor=office)
    said, _ = papers(job, tmp_path)
    assert f"{invoice.file_name:<24} Invoice, as it was issued" in said
    assert (tmp_path / invoice.file_name).read_bytes() == bytes(invoice.content)
    assert IssuedPaper.objects.get() == invoice


def test_the_crew_does_not_issue_this_way_either(firm: OfficeProfile, tmp_path: Path) -> None:
    with pytest.raises(CommandError, match="Only office or owner"):
        papers(ready_job(), tmp_path, "--kind", "checklist", "--issue-as", factories.crew_person().username)


@pytest.mark.parametrize(
    ("more", "told"),
    [(["--kind", "poem"], "has no paper poem; it has first_look"), (["--issue-as", "nobody"], "Nobody signs in")],
)
def test_what_it_can_not_do_is_said_before_anything_is_written(
    firm: OfficeProfile, tmp_path: Path, more: list[str], told: str
) -> None:
    with pytest.raises(CommandError, match=told):
        papers(ready_job(), tmp_path / "out", *more)
    assert not (tmp_path / "out").exists()


def test_a_job_that_is_not_there_and_a_folder_that_is_a_file(firm: OfficeProfile, tmp_path: Path) -> None:
    with pytest.raises(CommandError, match="There is no job 9999"):
        call_command("papers", "9999", "--out", str(tmp_path))
    (tmp_path / "file").write_text("taken")
    with pytest.raises(CommandError, match="file"):
        papers(ready_job(), tmp_path / "file", "--kind", "checklist")
