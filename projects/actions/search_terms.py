"""Keeps the search's index beside the jobs' ``search_text``."""

from __future__ import annotations

from collections.abc import Mapping

from projects.models.search_term import LONGEST_TERM, SearchTerm
from projects.words import terms_of

BATCH = 400


def index(texts: Mapping[int, str]) -> None:
    """``texts``: search text by the job's primary key; their terms become exactly those of the text."""
    jobs = list(texts)
    for start in range(0, len(jobs), BATCH):
        batch = jobs[start : start + BATCH]
        there: dict[int, set[str]] = {job: set() for job in batch}
        for job, term in SearchTerm.objects.filter(job__in=batch).values_list("job", "term"):
            there[job].add(term)
        gone, new = [], []
        for job in batch:
            wanted = terms_of(texts[job], LONGEST_TERM)
            gone += [(job, term) for term in there[job] - wanted]
            new += [SearchTerm(job_id=job, term=term) for term in wanted - there[job]]
        for job, term in gone:
            SearchTerm.objects.filter(job=job, term=term).delete()
        SearchTerm.objects.bulk_create(new, batch_size=5000)
