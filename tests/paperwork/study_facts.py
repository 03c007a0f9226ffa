"""Facts around a real study of the study's own example, for papers that carry working, labels and structure."""

from __future__ import annotations

from dataclasses import asdict
from functools import cache
from typing import Any

from paperwork.kinds import KINDS
from sizing.electrical.labels import labels
from sizing.study.codec import result_to_dict
from sizing.study.example import example_request
from sizing.study.result import StudyResult
from sizing.study.run import run_study
from tests.paperwork.hand_facts import facts_of
from tests.paperwork.reading import reader


@cache
def example_result() -> StudyResult:
    return run_study(example_request())


def study_facts(**changes: Any) -> dict[str, Any]:
    result = example_result()
    plain = result_to_dict(result)
    return facts_of(
        result,
        working=plain["working"],
        assumptions=plain["assumptions"],
        labels=[asdict(label) for label in labels(result.request, result.electrical)],
        **changes,
    )


@cache
def example_text(kind: str, paper_size: str = "letter") -> str:
    """What the paper of this kind says of the example, laid out once for all tests that only read it."""
    facts = study_facts(number=f"0147-{KINDS[kind].code}-1")
    pages = reader(KINDS[kind].pages(facts, False, paper_size=paper_size).content).pages  # type: ignore[call-arg]
    return " ".join(" ".join(page.extract_text().split()) for page in pages)
