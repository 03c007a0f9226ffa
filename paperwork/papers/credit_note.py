"""Credit note: takes an invoice back, wholly or in part, and says why."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import datetime
from typing import Any

from paperwork.changes import Shown
from paperwork.content.credit_note import CREDIT_WORDS, credit_note
from paperwork.freeze_money import credit_note_facts, unpapered_credit_note
from paperwork.pdf import About, CannotLayOut, Pdf, lay_out, lay_out_on
from paperwork.sources import Sources, common_problems
from projects.actions.problems import Problem


def problems(sources: Sources) -> list[Problem]:
    found = common_problems(sources)
    if unpapered_credit_note(sources.job) is None:
        found.append(Problem("", "Credit notes are written beside the invoice that they take back."))
    return found


def facts(sources: Sources, common: dict[str, Any]) -> dict[str, Any]:
    row = unpapered_credit_note(sources.job)
    assert row is not None
    return credit_note_facts(sources.job, row, common)


def pages(facts: Mapping[str, Any], preview: bool, paper_size: str | None = None) -> Pdf:
    language = facts["customer"]["language"]
    said = CREDIT_WORDS[language]
    about = About(
        title=f"{said['heading']} {facts['number']}",
        author=facts["firm"]["name"],
        subject=facts["invoice"]["number"],
        created_at=datetime.fromisoformat(facts["at"]),
        language=language,
    )
    content = {**credit_note(facts), "preview": preview}
    contexts = ({**content, "density": density} for density in ("", "compact"))
    try:
        return lay_out_on(1, "credit_note", contexts, about, paper_size=paper_size)
    except CannotLayOut:
        # Names as long as a line: rather a second page than no credit note.
        return lay_out("credit_note", {**content, "density": "compact"}, about, paper_size=paper_size)


SHOWN: Shown = ()
