"""Invoice: one part of the price, why it is due, what is to be paid and until when."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import datetime
from typing import Any

from paperwork.changes import Shown
from paperwork.content.invoice import INVOICE_WORDS, invoice
from paperwork.freeze_money import invoice_facts, unpapered_invoice
from paperwork.pdf import About, CannotLayOut, Pdf, lay_out, lay_out_on
from paperwork.sources import Sources, common_problems
from paperwork.spanish import milestone
from projects.actions.problems import Problem


def problems(sources: Sources) -> list[Problem]:
    found = common_problems(sources)
    if unpapered_invoice(sources.job) is None:
        found.append(Problem("", "Invoices are written on the job's money sheet, part by part."))
    return found


def facts(sources: Sources, common: dict[str, Any]) -> dict[str, Any]:
    row = unpapered_invoice(sources.job)
    assert row is not None
    return invoice_facts(sources.job, row, common)


def pages(facts: Mapping[str, Any], preview: bool, paper_size: str | None = None) -> Pdf:
    language = facts["customer"]["language"]
    said = INVOICE_WORDS[language]
    about = About(
        title=f"{said['heading']} {facts['number']}",
        author=facts["firm"]["name"],
        subject=milestone(facts["invoice"]["title"], language),
        created_at=datetime.fromisoformat(facts["at"]),
        language=language,
    )
    content = {**invoice(facts), "preview": preview}
    contexts = ({**content, "density": density} for density in ("", "compact", "compact close"))
    try:
        return lay_out_on(1, "invoice", contexts, about, paper_size=paper_size)
    except CannotLayOut:
        # Names as long as a line: rather a second page than no invoice.
        return lay_out("invoice", {**content, "density": "compact close"}, about, paper_size=paper_size)


SHOWN: Shown = ()
"""No invoice replaces another one: a credit note takes it back."""
